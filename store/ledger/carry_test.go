package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/gowebpki/jcs"
	"github.com/stretchr/testify/require"
)

// carried writes a file of two ledgers, the second without a key, and a person.
func carried(t testing.TB) []byte {
	t.Helper()
	var out bytes.Buffer
	l, bodies := grown(t, 3)
	s := sealed(t, l)
	other := sample(1)
	other.Origin = "north/truck-2"
	second := encode(t, other)
	at := at("2026-07-31T18:00:00Z")
	w, err := NewCarryWriter(&out, CarryHeader{Company: "North", Made: at, Tool: "0.9", Ledgers: []CarriedLedger{
		{Head: s.Head, Line: s.Line(), Verifier: s.Verifier, Stated: at},
		{Head: Head{second.Origin, 1, Leaves{second.Leaf}.Root()}, Stated: at},
	}})
	require.NoError(t, err)
	for i, body := range bodies {
		r := Row{Body: body}
		if i == 1 {
			r.Sig = []byte("— p2/x AAAA\n")
		}
		require.NoError(t, w.Entry(r))
	}
	require.NoError(t, w.Entry(second))
	require.NoError(t, w.Person(CarriedPerson{"p2", "Ana Ruiz", "ana", "radio 5", bytes.Repeat([]byte{7}, 32)}))
	require.NoError(t, w.Close())
	return out.Bytes()
}

type carriedSeen struct {
	header  CarryHeader
	entries []string
	sigs    []string
	persons []CarriedPerson
}

func readCarried(text []byte) (seen carriedSeen, err error) {
	err = ReadCarry(bytes.NewReader(text), CarryVisitor{
		Header: func(h CarryHeader) error { seen.header = h; return nil },
		Entry: func(r Row, h Header) error {
			if Leaf(r.Body) != r.Leaf || h.Origin != r.Origin || h.Seq != r.Seq {
				return errors.New("row and header differ")
			}
			seen.entries, seen.sigs = append(seen.entries, Ref(r.Origin, r.Seq)), append(seen.sigs, string(r.Sig))
			return nil
		},
		Person: func(p CarriedPerson) error { seen.persons = append(seen.persons, p); return nil },
	})
	return seen, err
}

func TestACarriedFileIsReadAsItWasWritten(t *testing.T) {
	seen, err := readCarried(carried(t))
	require.NoError(t, err)
	require.Equal(t, []string{"north/truck-1#1", "north/truck-1#2", "north/truck-1#3", "north/truck-2#1"}, seen.entries)
	require.Equal(t, []string{"", "— p2/x AAAA\n", "", ""}, seen.sigs)
	require.Equal(t, "Ana Ruiz", seen.persons[0].Name)
	require.Equal(t, []any{"North", "0.9", 2, int64(3)}, []any{seen.header.Company, seen.header.Tool, len(seen.header.Ledgers), seen.header.Ledgers[0].Size})
	require.Equal(t, verifierOf(t, 1), seen.header.Ledgers[0].Verifier)
}

// No hash guards contacts: what would move the cursor of who reads one is blanked.
func TestACarriedContactMovesNoCursor(t *testing.T) {
	text := bytes.Replace(carried(t), []byte("radio 5"), []byte(`radio\u001b\n5`), 1)
	seen, err := readCarried(text)
	require.NoError(t, err)
	require.Equal(t, "radio  5", seen.persons[0].Contact)
}

// Whatever byte changes, the file is refused, or the same entries come out of it. What is beside the ledgers (times,
// names of people, signatures) is checked by who takes the file.
func TestEveryChangedByteOfACarriedFileIsRefusedOrLeavesTheEntries(t *testing.T) {
	text := carried(t)
	want, err := readCarried(text)
	require.NoError(t, err)
	for i := range text {
		changed := bytes.Clone(text)
		changed[i] ^= 1
		seen, err := readCarried(changed)
		if err == nil {
			require.Equal(t, want.entries, seen.entries, "byte %d", i)
			for n := range want.header.Ledgers {
				require.Equal(t, want.header.Ledgers[n].Head, seen.header.Ledgers[n].Head, "byte %d", i)
			}
		}
	}
	for n := range text {
		_, err := readCarried(text[:n])
		require.Error(t, err, "cut at %d", n)
	}
}

func TestCarriedFilesThatAreRefused(t *testing.T) {
	good := string(carried(t))
	lines := strings.SplitAfter(good, "\n")
	without := func(i int) string { return strings.Join(append(append([]string{}, lines[:i]...), lines[i+1:]...), "") }
	swap := func(i, j int) string {
		l := append([]string{}, lines...)
		l[i], l[j] = l[j], l[i]
		return strings.Join(l, "")
	}
	for name, c := range map[string]struct{ text, want string }{
		"empty":                    {"", "line 1: the file is cut off"},
		"another format":           {strings.Replace(good, "carry/1", "carry/2", 1), `this version reads "ringtrue/carry/1"`},
		"a line missing":           {without(2), "entry north/truck-1#3 stands where north/truck-1#2 belongs"},
		"the last entry missing":   {without(4), "line 5:"},
		"two entries swapped":      {swap(1, 2), "entry north/truck-1#2 stands where north/truck-1#1 belongs"},
		"an entry twice":           {strings.Replace(good, lines[2], lines[2]+lines[2], 1), "entry north/truck-1#2 stands where north/truck-1#3 belongs"},
		"a person missing":         {without(5), "counts 4 entries and 1 people; the file has 4 and 0"},
		"more behind the end":      {good + "x", "something follows"},
		"a capital name":           {strings.Replace(good, `"company"`, `"Company"`, 1), `name "Company" is not expected there`},
		"a name twice":             {strings.Replace(good, `{"company"`, `{"company":"x","company"`, 1), `name "company" is not expected there`},
		"a name twice in a ledger": {strings.Replace(good, `"size":3`, `"size":3,"size":2`, 1), `name "size" is not expected there`},
		"a name twice in a person": {strings.Replace(good, `"handle":"ana"`, `"handle":"ana","handle":"bo"`, 1), `name "handle" is not expected there`},
		"white space":              {strings.Replace(good, `{"entry":`, `{ "entry":`, 1), "line 2:"},
		"a ledger twice":           {strings.Replace(good, `"origin":"north/truck-2"`, `"origin":"north/truck-1"`, 1), "stands twice"},
		"a name with a space":      {strings.Replace(good, `"origin":"north/truck-2"`, `"origin":"north/truck 2"`, 1), "cannot be sealed"},
		"no ledger":                {regexp.MustCompile(`"ledgers":\[.*?\]`).ReplaceAllString(good, `"ledgers":[]`), "0 ledgers"},
		"a size of nothing":        {strings.Replace(good, `"size":1`, `"size":0`, 1), "size 0"},
		"another size":             {strings.Replace(good, `"size":3`, `"size":2`, 1), "the seal of the ledger north/truck-1 is not good"},
		"another key":              {strings.Replace(good, verifierOf(t, 1), verifierOf(t, 2), 1), "not signed by the key named"},
		"no key":                   {strings.Replace(good, verifierOf(t, 1), "", 1), "the seal of the ledger north/truck-1 is not good"},
		"an entry edited":          {strings.Replace(good, `"minutes":20`, `"minutes":21`, 1), "do not give the root that was sealed"},
		"a signature that is none": {regexp.MustCompile(`"sig":"[^"]*"`).ReplaceAllString(good, `"sig":"?"`), "its signature is none"},
		"an empty signature":       {regexp.MustCompile(`"sig":"[^"]*"`).ReplaceAllString(good, `"sig":""`), "its signature is none"},
		"a salt cut":               {regexp.MustCompile(`"salt":"[0-9a-f]*"`).ReplaceAllString(good, `"salt":"07"`), "not a person"},
		"an endless line":          {good[:20] + strings.Repeat("x", MaxCarryLine+1), "longer than the"},
	} {
		_, err := readCarried([]byte(c.text))
		require.ErrorContains(t, err, c.want, name)
	}
}

// A visitor's refusal ends the reading at its line.
func TestReadingEndsWhereTheVisitorRefuses(t *testing.T) {
	for n := range 3 {
		stop := func(at int) error {
			if at == n {
				return errors.New("enough")
			}
			return nil
		}
		err := ReadCarry(bytes.NewReader(carried(t)), CarryVisitor{
			Header: func(CarryHeader) error { return stop(0) }, Entry: func(Row, Header) error { return stop(1) }, Person: func(CarriedPerson) error { return stop(2) }})
		require.EqualError(t, err, fmt.Sprintf("line %d: enough", []int{1, 2, 6}[n]))
	}
}

func TestWhatIsCanonical(t *testing.T) {
	require.NoError(t, Canonical(encode(t, sample(1)).Body))
	for text, want := range map[string]string{
		`{"b":1,"a":2}`:          "canonical form",
		`{"a":1 }`:               "not an integer",
		`{"a":1,"a":2}`:          "stands twice",
		`{"a":{"b":1,"b":2}}`:    "stands twice",
		`{"a":{"B":1,"b":2}}`:    `name "B" has capital letters`,
		`{"A":1}`:                `name "A" has capital letters`,
		`{"a":[{"xY":1}]}`:       `name "xY" has capital letters`,
		`{"":1}`:                 "is empty",
		`{"é":1}`:                "beyond ASCII",
		`{"a":null}`:             "holds null",
		`{"a":[null]}`:           "holds null",
		`{"a":1.5}`:              "not an integer",
		`{"a":1e+300}`:           "not an integer",
		`{"a":9007199254740993}`: "not an integer",
		`{"a":01}`:               "canonical form",
		`{"a":-0}`:               "canonical form",
		`{"a":-}`:                "not an integer",
		`{"a":"\ud800"}`:         "canonical form",
		`{"a\nb":1}`:             "escapes",
		`{"a":1}{`:               "canonical form",
		``:                       "canonical form",
		`{`:                      "canonical form",
		`{"a"}`:                  "canonical form",
		`{"a":}`:                 "canonical form",
		`[1,]`:                   "canonical form",
		`{"a":tru}`:              "canonical form",
		`{"a":"\u0041"}`:         "canonical form",
		`{"a":"\u000a"}`:         "canonical form",
		`{"a":"\u001F"}`:         "canonical form",
		`{"a":"\/"}`:             "canonical form",
		"{\"a\":\"\xff\"}":       "canonical form",
		"{\"a\":\"\t\"}":         "canonical form",
		strings.Repeat("[", 100) + strings.Repeat("]", 100): "canonical form",
	} {
		require.ErrorContains(t, Canonical([]byte(text)), want, text)
	}
	require.NoError(t, Canonical([]byte(`{"a":"\u001f\b\t\n\f\r\"\\/é","b":-1,"c":[],"d":{}}`)))
	require.NoError(t, Canonical([]byte(`{"a":"N: null, \"B\":1","nnn":[true,false,"n"]}`)))
}

// What passes is its own RFC 8785 form, as the library makes it.
func FuzzCanonical(f *testing.F) {
	f.Add(encode(f, sample(1)).Body)
	f.Add([]byte(`{"a":"\u001f\b","b":[-1,true,{"c":""}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		if Canonical(text) != nil {
			return
		}
		want, err := jcs.Transform(text)
		if err != nil && !bytes.ContainsAny(text[:1], "{[") {
			return // the library takes objects and lists only
		}
		if err != nil || !bytes.Equal(want, text) {
			t.Fatalf("%q: %q, %v", text, want, err)
		}
	})
}

func FuzzReadCarry(f *testing.F) {
	f.Add(carried(f))
	f.Add([]byte(`{"company":"","format":"ringtrue/carry/1","ledgers":[{}],"made":"2026-07-31T18:00:00Z","tool":""}` + "\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		seen, err := readCarried(text)
		if err != nil {
			return
		}
		var entries int64
		for _, l := range seen.header.Ledgers {
			entries += l.Size
		}
		if entries != int64(len(seen.entries)) {
			t.Fatalf("%d entries read, %d stated", len(seen.entries), entries)
		}
	})
}
