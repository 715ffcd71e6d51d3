//go:build outside

package sealed

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Another program that reads the age format opens a sealed key with the passphrase (Debian: age). It takes passphrases
// from a terminal only, which script (Debian: bsdutils) gives it. Without the programs the test fails.
func TestAnotherProgramOpensASealedKey(t *testing.T) {
	dir := t.TempDir()
	in, out := filepath.Join(dir, "key.age"), filepath.Join(dir, "key.txt")
	require.NoError(t, os.WriteFile(in, []byte(seal(t, secret, phrase, Work)), 0o600))
	open := func(phrase string) ([]byte, error) {
		c := exec.Command("sh", "-c", `(sleep 1; printf '%s\n' "$3"; sleep 3) | script -qec "/usr/bin/age -d -o '$2' '$1'" /dev/null`, "sh", in, out, phrase)
		return c.CombinedOutput()
	}
	said, err := open("not the passphrase")
	require.Error(t, err, "%s", said)
	require.NoFileExists(t, out)
	said, err = open(phrase)
	require.NoError(t, err, "%s", said)
	got, err := os.ReadFile(out)
	require.NoError(t, err)
	require.Equal(t, secret+"\n", string(got))
}
