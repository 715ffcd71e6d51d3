//go:build outside

package main

import (
	"bufio"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// At a real terminal, which script (Debian: bsdutils) gives, a passphrase is asked for and not echoed. Without the
// program the test fails.
func TestAPassphraseIsNotEchoed(t *testing.T) {
	text, err := madeBooks["key"]()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "book.db")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	c := exec.Command("/usr/bin/script", "-qec", "ringtrue skill sign ana 3.3 --book '"+path+"'", "/dev/null")
	c.Env = append(os.Environ(), "NOW=2026-05-06T17:00", "TZ=UTC", "NO_COLOR=1")
	in, err := c.StdinPipe()
	require.NoError(t, err)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	seen := bufio.NewReader(out)
	asked := ""
	for !strings.HasSuffix(asked, "passphrase of key") {
		one, err := seen.ReadByte()
		require.NoError(t, err, asked)
		asked += string(one)
	}
	time.Sleep(time.Second) // as long as nobody types faster than the terminal is told not to echo
	_, err = io.WriteString(in, scriptPhrase+"\n")
	require.NoError(t, err)
	rest, err := io.ReadAll(seen)
	require.NoError(t, err)
	require.NoError(t, c.Wait(), string(rest))
	require.Contains(t, string(rest), "signed by M. Okafor, key ")
	require.NotContains(t, asked+string(rest), "three old saws")
}
