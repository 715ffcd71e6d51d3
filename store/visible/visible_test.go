package visible_test

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/store/visible"
)

func TestWhatIsHiddenIsShown(t *testing.T) {
	for in, want := range map[string]string{
		"plain, ÅÄÖ, 山 and\ta tab\n":    "plain, ÅÄÖ, 山 and\ta tab\n",
		"\x1b[2Jgone":                   `\u001b[2Jgone`,
		"ring\a, back\b\rover":          `ring\u0007, back\u0008\u000dover`,
		"C1 \u009b31m":                  `C1 \u009b31m`,
		"turned \u202eevas\u202c back":  `turned \u202eevas\u202c back`,
		"isolated \u2066x\u2069":        `isolated \u2066x\u2069`,
		"marks \u200e\u200f\u061c":      `marks \u200e\u200f\u061c`,
		"two\u2028lines\u2029and\ufeff": `two\u2028lines\u2029and\ufeff`,
		"deleted \x7f":                  `deleted \u007f`,
	} {
		require.Equal(t, want, visible.String(in))
		require.Equal(t, want, string(visible.Bytes([]byte(in))))
	}
}

// Whatever is written in whatever pieces: nothing hidden comes out, and JSON still says what it said.
func TestNothingHiddenComesOut(t *testing.T) {
	odd := rapid.SampledFrom([]string{"a", "å", "山", "😀", "\x1b", "\u202e", "\u009b", "\a", "\n", "\t", `"`, `\`, "\u2028"})
	rapid.Check(t, func(t *rapid.T) {
		said := strings.Join(rapid.SliceOf(odd).Draw(t, "text"), "")
		text, err := json.Marshal(said)
		require.NoError(t, err)
		text = []byte(strings.ReplaceAll(string(text), `\u2028`, "\u2028")) // as other writers leave it
		var out strings.Builder
		w := &visible.Writer{To: &out}
		for rest := text; len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "piece")
			wrote, err := w.Write(rest[:n])
			require.NoError(t, err)
			require.Equal(t, n, wrote)
			rest = rest[n:]
		}
		require.True(t, utf8.ValidString(out.String()))
		require.Equal(t, -1, strings.IndexFunc(out.String(), visible.Hidden))
		var back string
		require.NoError(t, json.Unmarshal([]byte(out.String()), &back))
		require.Equal(t, said, back)
	})
}
