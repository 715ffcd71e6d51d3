//go:build outside

package store

import (
	"encoding/hex"
	"fmt"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
)

// shell asks the sqlite3 shell (Debian: sqlite3), another build of SQLite than the one compiled in. Without the
// program the test fails.
func shell(t testing.TB, path, statement string) string {
	t.Helper()
	out, err := exec.Command("/usr/bin/sqlite3", "-batch", "-noheader", path, statement).CombinedOutput()
	require.NoError(t, err, string(out))
	return strings.TrimSpace(string(out))
}

func TestTheSQLiteShellReadsABook(t *testing.T) {
	path := seasonBook(t)
	b := open(t, path, ForWriting)
	long(t, b, 2000)
	require.NoError(t, b.Close())
	for statement, want := range map[string]string{
		`PRAGMA integrity_check`:                                  "ok",
		`PRAGMA foreign_key_check`:                                "",
		`PRAGMA application_id`:                                   fmt.Sprint(applicationID),
		`PRAGMA user_version`:                                     fmt.Sprint(version),
		`PRAGMA journal_mode`:                                     "wal",
		`PRAGMA page_size`:                                        "8192",
		`SELECT count(*), min(seq), max(seq) FROM entry`:          "2012|1|2012",
		`SELECT count(*) FROM entry WHERE NOT json_valid(body)`:   "0",
		`SELECT json_extract(body, '$.kind') FROM entry LIMIT 1`:  "book",
		`SELECT handle, name FROM person ORDER BY handle LIMIT 1`: "ada|Ada Example",
		`SELECT count(*) FROM entry WHERE length(leaf) <> 32`:     "0",
		`SELECT group_concat(name) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0 AND name NOT LIKE 'sqlite_%'`: "",
	} {
		require.Equal(t, want, shell(t, path, statement), statement)
	}
	b = open(t, path, ForReading)
	for row, err := range b.Rows(bg, own, 1, 20) {
		require.NoError(t, err)
		got, err := hex.DecodeString(shell(t, path, fmt.Sprintf(`SELECT hex(body) FROM entry WHERE seq = %d`, row.Seq)))
		require.NoError(t, err)
		require.Equal(t, string(row.Body), string(got))
		require.Equal(t, row.Leaf, ledger.Leaf(got))
	}
	requireSound(t, b)
}

func TestTheSQLiteShellIsRefusedByTheTriggers(t *testing.T) {
	path := seasonBook(t)
	for _, statement := range []string{`DELETE FROM entry WHERE seq = 12`, `UPDATE entry SET body = x'00'`, `INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE seq = 3`} {
		out, err := exec.Command("/usr/bin/sqlite3", "-batch", path, statement).CombinedOutput()
		require.Error(t, err, statement)
		require.Contains(t, string(out), "an entry ", statement)
	}
	requireSound(t, open(t, path, ForReading))
}

// integrity_check looks at structure, not at content: it calls a changed entry ok, verification does not.
func TestTheSQLiteShellDoesNotSeeAChangedEntry(t *testing.T) {
	path := fixture(t, "body-changed.db")
	require.Equal(t, "ok", shell(t, path, `PRAGMA integrity_check`))
	rep, err := open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.False(t, rep.Sound())
}
