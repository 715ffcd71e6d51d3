package ledger

import (
	"bytes"
	"encoding/base64"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func proved(t testing.TB, size, seq int64) Proof {
	t.Helper()
	l, bodies := grown(t, size)
	p, err := Prove(l, seq, bodies[seq-1], sealed(t, l))
	require.NoError(t, err)
	return p
}

func TestAProofIsCheckedWithoutTheBook(t *testing.T) {
	for size := int64(1); size <= 20; size++ {
		for seq := int64(1); seq <= size; seq++ {
			p := proved(t, size, seq)
			read, err := ReadProof(p.Format())
			require.NoError(t, err)
			require.Equal(t, p, read)
			h, s, err := read.Check(verifierOf(t, 1))
			require.NoError(t, err)
			require.Equal(t, seq, h.Seq)
			require.Equal(t, size, s.Size)
			_, _, err = read.Check("")
			require.NoError(t, err)
			_, _, err = read.Check(verifierOf(t, 2))
			require.ErrorContains(t, err, "not signed by the key")
		}
	}
}

// The form is that of C2SP tlog-proof: title, extra, a place counted from 0, hashes, an empty line, the checkpoint.
func TestTheFormOfAProof(t *testing.T) {
	lines := strings.Split(string(proved(t, 700, 412).Format()), "\n")
	require.Equal(t, "c2sp.org/tlog-proof@v1", lines[0])
	require.True(t, strings.HasPrefix(lines[1], "extra "))
	require.Equal(t, "index 411", lines[2])
	require.Len(t, lines[3:13], 10) // as measured for 1,000 entries; 700 needs as many
	for _, h := range lines[3:13] {
		b, err := base64.StdEncoding.DecodeString(h)
		require.NoError(t, err)
		require.Len(t, b, 32)
	}
	require.Equal(t, []string{"", truck, "700"}, lines[13:16])
}

func TestProofsThatCannotBeMade(t *testing.T) {
	l, bodies := grown(t, 5)
	s := sealed(t, l)
	for _, seq := range []int64{0, 6} {
		_, err := Prove(l, seq, bodies[0], s)
		require.ErrorContains(t, err, "covers entries 1 to 5")
	}
	_, err := Prove(l[:4], 2, bodies[1], s)
	require.ErrorContains(t, err, "and 4 are here")
}

// Whatever byte of a proof changes, the entry is not shown as another one, and nothing but the carried key's own
// name can differ.
func TestEveryChangedByteOfAProofIsFound(t *testing.T) {
	p := proved(t, 11, 6)
	text := p.Format()
	for i := range text {
		changed := bytes.Clone(text)
		changed[i] ^= 1
		read, err := ReadProof(changed)
		if err != nil {
			continue
		}
		if _, _, err := read.Check(verifierOf(t, 1)); err == nil {
			require.Equal(t, p.Entry, read.Entry, "byte %d", i)
			require.Equal(t, p.Seq, read.Seq, "byte %d", i)
			require.NotEqual(t, p.Verifier, read.Verifier, "byte %d: only the key that the file names may differ", i)
		}
	}
}

func TestProofsThatAreNone(t *testing.T) {
	good := string(proved(t, 11, 6).Format())
	extra := func(json string) string {
		lines := strings.SplitN(good, "\n", 3)
		return lines[0] + "\nextra " + base64.StdEncoding.EncodeToString([]byte(json)) + "\n" + lines[2]
	}
	for name, text := range map[string]string{
		"empty":            "",
		"another title":    strings.Replace(good, "v1", "v2", 1),
		"no extra":         strings.Join(append(strings.SplitN(good, "\n", 3)[:1:1], strings.SplitN(good, "\n", 3)[2]), "\n"),
		"no seal":          strings.Split(good, "\n\n")[0],
		"no index":         strings.Replace(good, "index ", "place ", 1),
		"leading zero":     strings.Replace(good, "index 5", "index 05", 1),
		"negative":         strings.Replace(good, "index 5", "index -5", 1),
		"place too large":  strings.Replace(good, "index 5", "index 9223372036854775807", 1),
		"hash cut":         strings.Replace(good, "=\n\n", "\n\n", 1),
		"too many hashes":  strings.Replace(good, "index 5\n", "index 5\n"+strings.Repeat(strings.Repeat("A", 43)+"=\n", 64), 1),
		"extra is no JSON": extra("entry"),
		"no entry":         extra(`{"verifier":"x"}`),
		"no UTF-8":         extra("{\"entry\":{},\"verifier\":\"\xff\"}"),
		"entry twice":      extra(`{"entry":{},"entry":{}}`),
		"another name":     extra(`{"entry":{},"Verifier":"x"}`),
		"more behind":      extra(`{"entry":{}} `),
		"too long":         good + strings.Repeat("x", MaxProof),
	} {
		_, err := ReadProof([]byte(text))
		require.ErrorContains(t, err, "read the proof", name)
	}
}

func TestProofsThatDoNotHold(t *testing.T) {
	p := proved(t, 11, 6)
	_, bodies := grown(t, 11)
	for name, change := range map[string]func(*Proof){
		"another entry":      func(p *Proof) { p.Entry = bodies[6] },
		"another place":      func(p *Proof) { p.Seq = 7 },
		"a hash less":        func(p *Proof) { p.Path = p.Path[1:] },
		"a hash more":        func(p *Proof) { p.Path = append(p.Path, p.Path[0]) },
		"hashes swapped":     func(p *Proof) { p.Path = [][32]byte{p.Path[1], p.Path[0], p.Path[2], p.Path[3]} },
		"a seal of less":     func(p *Proof) { l, _ := grown(t, 10); p.Seal = sealed(t, l).Text },
		"an entry edited":    func(p *Proof) { p.Entry = bytes.Replace(p.Entry, []byte(`"met"`), []byte(`"new"`), 1) },
		"an entry that ends": func(p *Proof) { p.Entry = p.Entry[:20] },
	} {
		q := p
		change(&q)
		_, _, err := q.Check("")
		require.ErrorContains(t, err, "check the proof", name)
	}
}

func FuzzReadProof(f *testing.F) {
	f.Add(proved(f, 5, 2).Format())
	f.Add([]byte(proofTitle + "\nextra e30=\nindex 0\n\n"))
	strange := Proof{Entry: []byte(`{}`), Verifier: "a\x00\x7f\u200b<é\"+1+2", Seq: 1}
	f.Add(strange.Format())
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := ReadProof(text)
		if err != nil {
			return
		}
		_, _, _ = p.Check("")
		again, err := ReadProof(p.Format())
		if err != nil || again.Seq != p.Seq || again.Verifier != p.Verifier || !bytes.Equal(again.Entry, p.Entry) || len(again.Path) != len(p.Path) {
			t.Fatalf("does not survive writing: %v", err)
		}
	})
}
