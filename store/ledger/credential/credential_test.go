package credential

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// unsigned is a sign-off such as ours.
func unsigned(t testing.TB) string {
	return `{"@context":["` + Contexts[0] + `","` + Contexts[1] + `"],"type":["VerifiableCredential","SignOff"],"issuer":"` + DID(publishedSigner(t).Public) + `",
	"validFrom":"2026-05-06T17:00:00Z","validUntil":"2027-05-06T00:00:00Z","credentialSubject":{"skill":"3.3","result":"not yet","criteria":["a","b"]}}`
}

func signedOne(t testing.TB, document string) string {
	t.Helper()
	text, err := Sign([]byte(document), publishedSigner(t), time.Date(2026, 5, 7, 8, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	return string(text)
}

func TestVerify(t *testing.T) {
	c, err := Verify([]byte(signedOne(t, unsigned(t))))
	require.NoError(t, err)
	require.Equal(t, "3.3", c.Subject["skill"])
	require.Equal(t, "2026-05-07T08:00:00Z", c.Created)
	require.Equal(t, DID(publishedSigner(t).Public), c.Issuer)
	require.Equal(t, time.Date(2027, 5, 6, 0, 0, 0, 0, time.UTC), c.ValidUntil)
	// Others may re-indent it.
	var loose map[string]any
	require.NoError(t, json.Unmarshal([]byte(signedOne(t, unsigned(t))), &loose))
	text, err := json.MarshalIndent(loose, "", "\t")
	require.NoError(t, err)
	_, err = Verify(text)
	require.NoError(t, err)
}

// change is one replacement in a text, and why the result is refused.
type change struct{ name, from, to, why string }

func refusesEach(t *testing.T, text string, changes []change) {
	t.Helper()
	for _, c := range changes {
		require.Contains(t, text, c.from, c.name)
		_, err := Verify([]byte(strings.Replace(text, c.from, c.to, 1)))
		require.ErrorContains(t, err, c.why, c.name)
	}
}

func TestTamperedFormsAreRefused(t *testing.T) {
	text := signedOne(t, unsigned(t))
	_, value, _ := strings.Cut(text, `"proofValue":"`)
	value, _, _ = strings.Cut(value, `"`)
	const other = "did:key:z6MkhaXgBZDvotDkL5257faiztiGiC2QtKLGpbnnEGta2doK" // of did-key.json
	did := DID(publishedSigner(t).Public)
	refusesEach(t, text, []change{
		{"a claim", `"not yet"`, `"competent"`, "the signature does not fit"},
		{"a claim added", `"skill":`, `"level":"all","skill":`, "the signature does not fit"},
		{"a claim taken out", `"result":"not yet",`, ``, "the signature does not fit"},
		{"order of a list", `["a","b"]`, `["b","a"]`, "the signature does not fit"},
		{"the day", `2027-05-06T`, `2028-05-06T`, "the signature does not fit"},
		{"when signed", `2026-05-07T08`, `2026-05-07T09`, "the signature does not fit"},
		{"the type", `"SignOff"`, `"Licence"`, "the signature does not fit"},
		{"the issuer", `"issuer":"` + did, `"issuer":"` + other, "the signature does not fit"},
		{"the method", `"verificationMethod":"` + method(did), `"verificationMethod":"` + method(other), "the signature does not fit"},
		{"the fragment", did + "#" + did[8:], did + "#" + other[8:], "does not repeat"},
		{"no fragment", did + "#" + did[8:], did, "does not repeat"},
		{"the signature", value, value[:40] + "2" + value[41:], "the signature does not fit"},
		{"the signature cut", value, value[:60], "has not 64 bytes"},
		{"no z", value, value[1:], "is not base58"},
		{"a space within", `"not yet"`, `"not  yet"`, "the signature does not fit"},
		{"proof added to", `"cryptosuite":`, `"challenge":"x","cryptosuite":`, "which is not taken"},
	})
	_, err := Verify([]byte(text + "{}"))
	require.ErrorContains(t, err, "behind the JSON object")
	for i := range text { // and cut anywhere
		_, err := Verify([]byte(text[:i]))
		require.Error(t, err)
	}
}

func TestOneNameIsReadOneWay(t *testing.T) {
	text := signedOne(t, unsigned(t))
	refusesEach(t, text, []change{
		{"twice", `"result":"not yet"`, `"result":"not yet","result":"competent"`, "stands twice, or in other capitals"},
		{"capitals", `"result":"not yet"`, `"result":"not yet","Result":"competent"`, "stands twice, or in other capitals"},
		{"long s", `"skill":"3.3"`, `"skill":"3.3","ſkill":"4.2"`, "stands twice, or in other capitals"},
		{"kelvin", `"skill":"3.3"`, `"skill":"3.3","sKill":"4.2"`, "stands twice, or in other capitals"},
		{"escaped", `"result":"not yet"`, `"result":"not yet","r\u0065sult":"competent"`, "stands twice, or in other capitals"},
		{"surrogate", `"not yet"`, `"\ud800"`, "canonical form"},
		{"UTF-8", `"not yet"`, "\"\xff\"", "not UTF-8"},
		{"big", `"not yet"`, `9007199254740993`, "no integer"},
		{"float", `"not yet"`, `1.5`, "no integer"},
		{"deep", `"not yet"`, strings.Repeat("[", 40) + strings.Repeat("]", 40), "nested deeper"},
	})
	// Also where the signer meant it so.
	_, err := Sign([]byte(strings.Replace(unsigned(t), `"result"`, `"Result":"competent","result"`, 1)), publishedSigner(t), time.Now())
	require.ErrorContains(t, err, "in other capitals")
	_, err = Verify([]byte(strings.Repeat(" ", MaxCredential) + text))
	require.ErrorContains(t, err, "more than the 65536 allowed")
}

// The traps of the Recommendations, each by its own test.

func TestContextsAddedAfterSigningAreRefused(t *testing.T) {
	refusesEach(t, signedOne(t, unsigned(t)), []change{
		{"outer", Contexts[1] + `"],"credentialSubject"`, Contexts[1] + `","https://other.example/words"],"credentialSubject"`, "contexts of the proof and of the document differ"},
	})
}

func TestTheIssuerIsTheKeyThatSigned(t *testing.T) {
	did := DID(publishedSigner(t).Public)
	for _, issuer := range []string{`"https://company.example"`, `"did:key:z6MkhaXgBZDvotDkL5257faiztiGiC2QtKLGpbnnEGta2doK"`, `{"id":"` + did + `"}`} {
		_, err := Verify([]byte(signedOne(t, strings.Replace(unsigned(t), `"`+did+`"`, issuer, 1))))
		require.ErrorContains(t, err, "the issuer is")
	}
	_, err := Verify([]byte(strings.Replace(signedOne(t, unsigned(t)), purpose, "authentication", 1)))
	require.ErrorContains(t, err, "the purpose of the proof")
}

func TestCreatedIsApartFromTheDatesOfTheClaim(t *testing.T) {
	late, err := Sign([]byte(unsigned(t)), publishedSigner(t), time.Date(2031, 1, 1, 0, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	c, err := Verify(late)
	require.NoError(t, err)
	require.Equal(t, "2031-01-01T00:00:00Z", c.Created)
	require.Equal(t, 2026, c.ValidFrom.Year())
}

func TestAStatusListIsRefused(t *testing.T) {
	_, err := Verify([]byte(signedOne(t, strings.Replace(unsigned(t), `"type"`, `"credentialStatus":{"type":"x"},"type"`, 1))))
	require.ErrorContains(t, err, "cannot be read offline")
}

func TestAListOfProofsIsRefused(t *testing.T) {
	before, proof, ok := strings.Cut(signedOne(t, unsigned(t)), `"proof":`)
	require.True(t, ok)
	object, after, ok := strings.Cut(proof, `},"type"`)
	require.True(t, ok)
	_, err := Verify([]byte(before + `"proof":[` + object + `}],"type"` + after))
	require.ErrorContains(t, err, "has not one proof")
	_, err = Verify([]byte(unsigned(t)))
	require.ErrorContains(t, err, "has not one proof")
}

// The published schema is informative: its pattern of dates is not anchored.
func TestWhatTheSchemaLetsPassIsRefused(t *testing.T) {
	var schema struct {
		Required   []string
		Properties map[string]struct{ Pattern string }
	}
	require.NoError(t, json.Unmarshal([]byte(published(t, "vc-v2-schema.json")), &schema))
	require.Equal(t, []string{"@context", "type", "issuer", "credentialSubject"}, schema.Required)
	pattern := regexp.MustCompile(schema.Properties["validFrom"].Pattern)
	for _, date := range []string{"on 2026-05-06T17:00:00Z or so", "2026-02-30T17:00:00Z", "2026-05-06T24:00:00Z"} {
		require.True(t, pattern.MatchString(date), date)
		_, err := Verify([]byte(signedOne(t, strings.Replace(unsigned(t), "2026-05-06T17:00:00Z", date, 1))))
		require.ErrorContains(t, err, "validFrom: ", date)
	}
	_, err := Verify([]byte(signedOne(t, strings.Replace(unsigned(t), "2027-05-06", "2025-05-06", 1))))
	require.ErrorContains(t, err, "ends before it begins")
	for _, name := range schema.Required {
		if name == "@context" || name == "issuer" {
			continue
		}
		_, err := Verify([]byte(signedOne(t, strings.Replace(unsigned(t), `"`+name+`"`, `"other"`, 1))))
		require.Error(t, err, name)
	}
}

func TestTypeAndSuiteAreEachChecked(t *testing.T) {
	refusesEach(t, signedOne(t, unsigned(t)), []change{
		{"type", `"` + proofType + `"`, `"Ed25519Signature2020"`, "the type of the proof"},
		{"suite", `"` + suite + `"`, `"eddsa-rdfc-2022"`, "the suite of the proof"},
	})
}

func carriedOne(t testing.TB) []byte {
	t.Helper()
	one := json.RawMessage(signedOne(t, unsigned(t)))
	text, err := Carried{Format: Format, Text: "x", Worker: Bearer{"Ana", "ana"}, Credentials: []json.RawMessage{one}, Roster: one, Proofs: []string{""}, Head: "h"}.Write()
	require.NoError(t, err)
	return text
}

func TestReadCarried(t *testing.T) {
	text := string(carriedOne(t))
	c, err := ReadCarried([]byte(text))
	require.NoError(t, err)
	_, err = Verify(c.Credentials[0])
	require.NoError(t, err)
	for _, ch := range []change{
		{"format", Format, "ringtrue/credentials/2", "its format is"},
		{"unknown", `"head"`, `"heads"`, "unknown names"},
		{"capitals", `"head": "h"`, `"head": "h", "HEAD": "i"`, "other capitals"},
		{"inside", `"handle"`, `"salt"`, "unknown names"},
		{"proofs", `"proofs": [`, `"proofs": ["x",`, "2 proofs for 1 credentials"},
		{"head", `"head": "h"`, `"head": ""`, "head is missing"},
	} {
		require.Contains(t, text, ch.from)
		_, err := ReadCarried([]byte(strings.Replace(text, ch.from, ch.to, 1)))
		require.ErrorContains(t, err, ch.why, ch.name)
	}
	_, err = ReadCarried(make([]byte, MaxCarried+1))
	require.ErrorContains(t, err, "allowed")
}

func FuzzReadCarried(f *testing.F) {
	f.Add(carriedOne(f))
	f.Add([]byte(`{"format":"ringtrue/credentials/1"}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := ReadCarried(text)
		if err != nil {
			return
		}
		again, err := c.Write()
		require.NoError(t, err)
		_, err = ReadCarried(again)
		require.NoError(t, err)
	})
}

func FuzzVerify(f *testing.F) {
	good := signedOne(f, unsigned(f))
	f.Add([]byte(good))
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := Verify(text)
		if err != nil {
			return
		}
		require.Equal(t, "3.3", c.Subject["skill"]) // nobody else signs with that key
	})
}
