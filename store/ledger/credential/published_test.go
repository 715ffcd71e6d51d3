package credential

import (
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/gowebpki/jcs"
	"github.com/stretchr/testify/require"
)

const publishedDir = "../../../testdata/published/"

func published(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(publishedDir + name)
	require.NoError(t, err)
	return strings.TrimSpace(string(text))
}

func suiteFile(t testing.TB, name string) string { return published(t, suite+"/"+name) }

// publishedSigner is the key pair of the vectors. Its private half is the multicodec 0x1300 (80 26) and the seed.
func publishedSigner(t testing.TB) Signer {
	t.Helper()
	var pair struct{ PublicKeyMultibase, PrivateKeyMultibase string }
	require.NoError(t, json.Unmarshal([]byte(suiteFile(t, "keyPair.json")), &pair))
	b, err := decode(pair.PrivateKeyMultibase, 34)
	require.NoError(t, err)
	require.Equal(t, "8026", hex.EncodeToString(b[:2]))
	private := ed25519.NewKeyFromSeed(b[2:])
	public, err := Key("did:key:" + pair.PublicKeyMultibase)
	require.NoError(t, err)
	require.Equal(t, private.Public(), public)
	return Signer{public, func(m []byte) ([]byte, error) { return ed25519.Sign(private, m), nil }}
}

func mustObject(t testing.TB, text string) map[string]any {
	t.Helper()
	o, err := object([]byte(text))
	require.NoError(t, err)
	return o
}

func TestDIDKeyExamples(t *testing.T) {
	var table struct{ Examples []string }
	require.NoError(t, json.Unmarshal([]byte(published(t, "did-key.json")), &table))
	require.Len(t, table.Examples, 2)
	for _, did := range table.Examples {
		key, err := Key(did)
		require.NoError(t, err)
		require.Len(t, key, 32)
		require.Equal(t, did, DID(key))
		for _, bad := range []string{did[:len(did)-1], did + "1", strings.Replace(did, "z6Mk", "z16Mk", 1), strings.Replace(did, "z6Mk", "6Mk", 1),
			"did:web:" + did[8:], did[:20] + "0" + did[21:], did + strings.Repeat("1", maxBase58)} {
			_, err := Key(bad)
			require.Error(t, err, bad)
		}
	}
	_, err := Key(didKey + encode(append([]byte{0xec, 0x01}, make([]byte, 32)...))) // X25519
	require.ErrorContains(t, err, "not an Ed25519 key")
}

func TestEveryPublishedValueOfTheSuite(t *testing.T) {
	document, options := mustObject(t, suiteFile(t, "unsigned.json")), mustObject(t, suiteFile(t, "proofConfigJCS.json"))
	for name, o := range map[string]map[string]any{"canonDocJCS.txt": document, "proofCanonJCS.txt": options} {
		got, err := canonical(o)
		require.NoError(t, err)
		require.Equal(t, suiteFile(t, name), string(got))
	}
	message, err := hashes(document, options)
	require.NoError(t, err)
	require.Equal(t, suiteFile(t, "proofHashJCS.txt"), hex.EncodeToString(message[:32])) // the proof's hash comes first
	require.Equal(t, suiteFile(t, "docHashJCS.txt"), hex.EncodeToString(message[32:]))
	require.Equal(t, suiteFile(t, "combinedHashJCS.txt"), hex.EncodeToString(message))
	sig, err := publishedSigner(t).Sign(message)
	require.NoError(t, err)
	require.Equal(t, suiteFile(t, "sigHexJCS.txt"), hex.EncodeToString(sig))
	require.Equal(t, suiteFile(t, "sigBTC58JCS.txt"), encode(sig))
	back, err := decode(suiteFile(t, "sigBTC58JCS.txt"), ed25519.SignatureSize)
	require.NoError(t, err)
	require.Equal(t, sig, back)
}

func TestThePublishedDocumentIsSignedAndChecked(t *testing.T) {
	created, err := moment("2023-02-24T23:36:38Z")
	require.NoError(t, err)
	got, err := Sign([]byte(suiteFile(t, "unsigned.json")), publishedSigner(t), created)
	require.NoError(t, err)
	want, err := jcs.Transform([]byte(suiteFile(t, "signedJCS.json")))
	require.NoError(t, err)
	require.Equal(t, string(want), string(got))
	p, err := checkProof(mustObject(t, suiteFile(t, "signedJCS.json")))
	require.NoError(t, err)
	require.Equal(t, DID(publishedSigner(t).Public), p.did)
	_, err = Verify([]byte(suiteFile(t, "signedJCS.json"))) // its issuer is a web address, which no key proves
	require.ErrorContains(t, err, `the issuer is "https://vc.example/issuers/5678", but the key of`)
}
