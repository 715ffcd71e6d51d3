package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/mod/modfile"
)

// README.md marks what this test runs, in comments that no reader sees:
//
//	<!-- tour 2026-05-05T10:20 -->  the next block of commands is run by a shell at that time (UTC), in the folder where
//	                                the ones before ran; the block of text after it is what they print
//	<!-- filled SHEET -->           the next block holds lines of that day sheet, once the answers of the test are in it
//
// "…" alone on a line stands for any lines, within a line for any words. Commands that end with another status than
// 0 show as "(exit status N)".

// readmeBlock is a fenced block of README.md with the mark that stands before it.
type readmeBlock struct {
	mark, of, kind string // "tour" of a time, "filled" of a sheet, or ""; kind is what stands behind the fence
	lines          []string
}

var readmeMark = regexp.MustCompile(`^<!-- (tour|filled) (\S+) -->$`)

// readBlocks gives the fenced blocks of a page. Where a program is named as `go run ./cmd/ringtrue`, it is called by its
// name instead: the test has it built already.
func readBlocks(t *testing.T, path string) (blocks []readmeBlock) {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	next, inside := readmeBlock{}, false
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSuffix(line, "\n")
		fence, isFence := strings.CutPrefix(line, "```")
		switch m := readmeMark.FindStringSubmatch(line); {
		case isFence && inside:
			blocks, next, inside = append(blocks, next), readmeBlock{}, false
		case isFence:
			next.kind, inside = fence, true
		case inside:
			next.lines = append(next.lines, strings.Replace(line, "go run ./cmd/ringtrue", "ringtrue", 1))
		case m != nil:
			next.mark, next.of = m[1], m[2]
		}
	}
	require.False(t, inside, "%s: a block does not end", path)
	return blocks
}

func TestReadmeCommands(t *testing.T) {
	blocks := readBlocks(t, "../../README.md")
	dir, ran, book := t.TempDir(), 0, ""
	for i, b := range blocks {
		switch {
		case b.mark == "tour":
			ran++
			for _, line := range b.lines {
				if path, ok := strings.CutPrefix(line, "export RINGTRUE_BOOK="); ok {
					book = path // later blocks are pasted into the same shell
				}
			}
			require.Less(t, i+1, len(blocks), "what the last commands print")
			require.Equal(t, "text", blocks[i+1].kind, "what %q prints", b.lines)
			out := shell(t, dir, b.of, book, strings.Join(b.lines, "\n"))
			requireShown(t, blocks[i+1].lines, out)
		case b.mark == "filled":
			requireShown(t, b.lines, fillForReadme(t, filepath.Join(dir, b.of)))
		case b.kind == "sh":
			require.Equal(t, []string{"go test ./..."}, b.lines, "commands without a mark")
		}
	}
	require.Greater(t, ran, 7, "blocks of commands")
	require.Equal(t, []string{"ringtrue demo --book demo.db"}, blocks[0].lines, "the first command runs the main job")
	require.FileExists(t, filepath.Join(dir, "demo.xlsx"))
}

// shell runs commands as a reader pastes them and returns all they print. TestMain has put the program on the path.
func shell(t *testing.T, dir, now, book, commands string) []string {
	t.Helper()
	cmd := exec.Command("sh", "-c", `ringtrue() { command ringtrue "$@" || echo "(exit status $?)"; }`+"\n"+commands)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "NOW="+now, "TZ=UTC", "NO_COLOR=1", "HOME="+dir, "RINGTRUE_BOOK="+book)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s\n%s", commands, out)
	return strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
}

// requireShown fails unless the lines shown are those printed, up to what "…" leaves out. It never leaves out a refusal.
func requireShown(t *testing.T, shown, printed []string) {
	t.Helper()
	all, skip := strings.Join(printed, "\n"), false
	for _, line := range shown {
		if line == "…" {
			skip = true
			continue
		}
		form := regexp.MustCompile("^" + strings.ReplaceAll(regexp.QuoteMeta(line), "…", ".*") + "$")
		for skip && len(printed) > 0 && !form.MatchString(printed[0]) {
			require.NotContains(t, printed[0], "(exit status", "a refusal is left out of the page; printed:\n%s", all)
			printed = printed[1:]
		}
		require.True(t, len(printed) > 0 && form.MatchString(printed[0]), "shown, but not printed: %s\nprinted:\n%s", line, all)
		printed, skip = printed[1:], false
	}
	require.True(t, skip || len(printed) == 0, "printed, but not shown: %q", printed)
	require.NotContains(t, strings.Join(printed, "\n"), "(exit status")
}

// fillForReadme fills the day sheet of the page: everybody fit, nothing wrong with ground, sky or saw.
func fillForReadme(t *testing.T, path string) []string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	const crew = "  - {worker: okafor, level: no saw, fit: yes}\n  - {worker: luis, level: no saw, fit: yes}\n" +
		"  - {worker: ana, saw: S1, group: light-brush, level: in sight, watched-by: okafor, fit: yes}\n"
	inDaylight := map[string]string{"at": "09:40", "call-answered": "09:30"} // it is November
	filled := fill(string(text), inDaylight, map[string]string{"crew": crew, "saws": plainSaws})
	require.NoError(t, os.WriteFile(path, []byte(filled), 0o600))
	return strings.Split(strings.TrimSuffix(filled, "\n"), "\n")
}

// imported lists the modules of which our packages or their tests import something, and the tools of go.mod.
func imported(t *testing.T) (direct []string) {
	t.Helper()
	text, err := os.ReadFile("../../go.mod")
	require.NoError(t, err)
	mod, err := modfile.Parse("go.mod", text, nil)
	require.NoError(t, err)
	paths := []string{}
	for _, p := range listPackages(t) {
		paths = slices.Concat(paths, p.Imports, p.TestImports, p.XTestImports)
	}
	for _, tool := range mod.Tool {
		paths = append(paths, tool.Path)
	}
	for _, r := range mod.Require {
		if slices.ContainsFunc(paths, func(p string) bool { return p == r.Mod.Path || strings.HasPrefix(p, r.Mod.Path+"/") }) {
			direct = append(direct, r.Mod.Path)
		}
	}
	require.NotEmpty(t, direct)
	return direct
}

// kindsOf lists the kinds of entries that the source of a package declares.
func kindsOf(t *testing.T, folder string) (kinds []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("../..", folder, "*.go"))
	require.NoError(t, err)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`(?m)^\tKind\w+ += "([^"]+)"`).FindAllStringSubmatch(string(text), -1) {
			kinds = append(kinds, m[1])
		}
	}
	require.NotEmpty(t, kinds)
	return kinds
}

// TestDevelopersIsComplete: the page for contributors has a row for each package, each kind of entry, and a line for
// each module that we import, with why it is there, and names no module besides.
func TestDevelopersIsComplete(t *testing.T) {
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	page := string(text)
	for name := range listPackages(t) {
		require.Contains(t, page, "\n| `"+name+"` |", "a row of the import table for the package")
	}
	for _, kind := range append(kindsOf(t, "store"), kindsOf(t, "training")...) {
		require.Regexp(t, "(?m)^\\|.*`"+kind+"`", page, "the table of kinds")
	}
	var named []string
	for _, m := range regexp.MustCompile("(?m)^- `([a-z0-9-]+\\.[a-z.]+/[^`]+)`: \\S").FindAllStringSubmatch(page, -1) {
		named = append(named, m[1])
	}
	require.ElementsMatch(t, imported(t), named, "modules with a line that says why they are there")
}
