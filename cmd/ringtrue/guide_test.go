//go:build !race

// The library that draws forms reads a terminal with races of its own while it shuts down (charm.land/bubbletea/v2
// 2.0.2, github.com/muesli/cancelreader 0.2.2), so these tests run without the race detector, in a step of their own.

package main

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards"
)

// atTerminal is somebody at a real terminal: every byte written to it is one key press, and what it shows is kept.
type atTerminal struct {
	t       *testing.T
	keys    *os.File
	presses int
	mu      sync.Mutex
	shown   strings.Builder
	ended   chan int
	stop    func() // what control-C does where the terminal is not drawn on
}

// sitAt starts a command line at a terminal of 24 rows.
func sitAt(t *testing.T, path, now, kind string, columns uint16, args ...string) *atTerminal {
	t.Helper()
	keys, tty, err := pty.Open()
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(tty, &pty.Winsize{Rows: 24, Cols: columns}))
	at, err := time.Parse("2006-01-02T15:04", now)
	require.NoError(t, err)
	set := map[string]string{"RINGTRUE_BOOK": path, "TERM": kind, "NO_COLOR": "1", "PAGER": "cat"} // page_test.go turns pages
	e := env{in: tty, out: tty, err: tty, getenv: func(name string) string { return set[name] }, now: func() time.Time { return at }, secret: secretFrom(tty, tty)}
	ctx, stop := context.WithCancel(t.Context())
	u := &atTerminal{t: t, keys: keys, ended: make(chan int, 1), stop: stop}
	go func() {
		u.ended <- run(ctx, e, args)
		_ = tty.Close()
	}()
	go func() {
		_, _ = io.Copy(u, keys) // ends with the terminal
	}()
	t.Cleanup(func() { _ = keys.Close() })
	return u
}

// Write keeps what the terminal shows.
func (u *atTerminal) Write(p []byte) (int, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	return u.shown.Write(p)
}

var drawing = regexp.MustCompile(`\x1b\[[0-9;?>=$]*[ -/]*[@-~]|\x1b[()][A-Z0-9]|\x1b[=>]|\r`)

// screen is what was shown so far, without the codes that draw it.
func (u *atTerminal) screen() string {
	u.mu.Lock()
	defer u.mu.Unlock()
	return drawing.ReplaceAllString(u.shown.String(), "")
}

// sees waits for a text.
func (u *atTerminal) sees(text string) {
	u.t.Helper()
	require.Eventually(u.t, func() bool { return strings.Contains(u.screen(), text) }, 20*time.Second, 5*time.Millisecond, "%q is not shown:\n%s", text, lazily(u.screen))
}

// lazily is text that is made when it is printed.
type lazily func() string

func (f lazily) String() string { return f() }

// press presses keys, one for each letter.
func (u *atTerminal) press(keys string) {
	u.t.Helper()
	u.presses += len([]rune(keys))
	_, err := io.WriteString(u.keys, keys)
	require.NoError(u.t, err)
}

// ends waits for the command to end with a code.
func (u *atTerminal) ends(code int) {
	u.t.Helper()
	select {
	case got := <-u.ended:
		require.Equal(u.t, code, got, u.screen())
	case <-time.After(20 * time.Second):
		require.Fail(u.t, "the command does not end", u.screen())
	}
}

// says runs a command line on the book and gives what it said.
func says(t *testing.T, path, now string, args ...string) string {
	t.Helper()
	set := map[string]string{"RINGTRUE_BOOK": path, "NOW": now}
	_, said := inside(func(name string) string { return set[name] }, args...)
	return said
}

const (
	enter = "\r"
	back  = "\x1b[Z" // shift-tab
)

// A look at five criteria, none of them measured, from the bare command to the entry.
func TestGuideObserveTakesAtMost20Keys(t *testing.T) {
	path := bookFile(t, "crew")
	u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "skill", "observe", "--as", "luis")
	u.sees("Who did you look at?")
	u.press("an" + enter + "2.1" + enter)
	u.press("mmxm-") // one key for each criterion
	u.sees("Another skill in the same look?")
	u.press(enter + "n")
	u.sees("enter takes B7")
	u.press(enter + "y")
	u.ends(exitDone)
	require.LessOrEqual(t, u.presses, 20)
	require.Contains(t, says(t, path, "2026-05-06T10:21", "evidence", "show", "ana", "--json"), `"skill":"2.1"`)
	require.NoFileExists(t, path+".skill-observe.draft.yaml")
}

// Control-C at any prompt leaves the book as it was and keeps the answers; the next run goes on with them.
func TestGuideStoppedAndTakenUp(t *testing.T) {
	path := bookFile(t, "crew")
	before := says(t, path, "2026-05-06T10:20", "book", "head")
	for answered, keys := range []string{"", "an" + enter, "an" + enter + "2.1" + enter, "an" + enter + "2.1" + enter + "mm"} {
		u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "skill", "observe", "--as", "luis")
		u.sees("Who did you look at?")
		u.press(keys + "\x03")
		u.ends(exitInterrupted)
		u.sees("nothing was recorded")
		require.Equal(t, before, says(t, path, "2026-05-06T10:20", "book", "head"), answered)
		if answered < 3 {
			_ = os.Remove(path + ".skill-observe.draft.yaml")
		}
	}
	u := sitAt(t, path, "2026-05-06T10:25", "xterm-256color", 80, "skill", "observe", "--as", "luis")
	u.sees("Go on with the entry that was stopped?")
	u.press("y" + "mmm" + enter + "n" + enter + "y")
	u.ends(exitDone)
	require.NotEqual(t, before, says(t, path, "2026-05-06T10:26", "book", "head"))
	// What was answered on one day is never carried into the next.
	u = sitAt(t, path, "2026-05-06T10:27", "xterm-256color", 80, "skill", "observe", "--as", "luis")
	u.sees("Who did you look at?")
	u.press("an" + enter + "\x03")
	u.ends(exitInterrupted)
	u = sitAt(t, path, "2026-05-07T10:27", "xterm-256color", 80, "skill", "observe", "--as", "luis")
	u.sees("Who did you look at?")
	u.press("\x03")
	u.ends(exitInterrupted)
}

// Going back takes an answer back; what was answered then is offered again.
func TestGuideBack(t *testing.T) {
	path := bookFile(t, "crew")
	u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "skill", "observe", "ana", "--as", "luis", "--announced", "no")
	u.sees("Which skill did you look at?")
	u.press("2.1" + enter + "mmmmx" + back)
	u.sees("your answer before")
	u.press("m" + enter + enter + "y")
	u.ends(exitDone)
	u.sees("observed Ana Ruiz: 2.1 met")
}

// What may not be done is said where it is asked, with the rule.
func TestGuideSaysWhyNot(t *testing.T) {
	path := bookFile(t, "crew")
	u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "skill", "sign")
	u.sees("Whose skill do you sign off?")
	u.press("  RUÍZ" + enter + "3.3" + enter)
	u.sees("the evidence falls short (house rules starter")
	u.press("\x03")
	u.ends(exitInterrupted)
}

func TestGuideOthers(t *testing.T) {
	for _, c := range []struct {
		args        []string
		first, keys string
		says        string
	}{
		{[]string{"module", "attend", "--as", "luis"}, "Which module was taught?", "m3" + enter + "12" + enter + enter + "named the parts" + enter + "y", "taught M3 to Ana Ruiz (ana), Ben Holm (ben)"},
		{[]string{"ppe", "issue"}, "Who gets it?", "holm" + enter + "boots" + enter + "41" + enter + enter + enter + "y", "Ben Holm holds: "},
		{[]string{"saw", "upkeep"}, "Which saw?", "s1" + enter + "yn" + enter + "2" + enter + "3" + enter + "2.7L" + enter + "1" + enter + enter + enter + "y", "day of saw S1: daily, 2 nut checks, 3 refuels, 1 filings, 2.7L"},
	} {
		path := bookFile(t, "crew")
		says(t, path, "2026-05-06T06:00", "saw", "add", "S1", "--spindle", "9000rpm", "--blades", "200mm-225mm")
		u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, c.args...)
		u.sees(c.first)
		u.press(c.keys)
		u.ends(exitDone)
		u.sees(c.says)
	}
}

// Line by line, for screen readers and where nothing can be drawn.
func TestGuidePlain(t *testing.T) {
	for kind, flag := range map[string]string{"dumb": "--json=false", "xterm-256color": "--plain"} {
		path := bookFile(t, "crew")
		u := sitAt(t, path, "2026-05-06T10:20", kind, 80, "skill", "observe", "--as", "luis", flag)
		for _, step := range [][2]string{
			{"Who did you look at?", "Ána RUIZ"}, {"Which skill did you look at?", "9.9"}, {"is none of these", "2.1"}, {"2.1, 1 of 5", "m"}, {"2.1, 2 of 5", "<"},
			{"2.1, 1 of 5", "met"}, {"2.1, 2 of 5", "m"}, {"2.1, 3 of 5", "m"}, {"2.1, 4 of 5", "m"}, {"2.1, 5 of 5", "m"},
			{"Another skill in the same look?", ""}, {"beforehand?", "no"},
			{"On which block", ""}, {"Record it?", "yes"},
		} {
			u.sees(step[0])
			u.press(step[1] + enter)
		}
		u.ends(exitDone)
		require.NotContains(t, u.screen(), "┃")
	}
	path := bookFile(t, "crew")
	says(t, path, "2026-05-06T06:00", "saw", "add", "S1", "--spindle", "9000rpm", "--blades", "200mm-225mm")
	before := says(t, path, "2026-05-06T10:20", "book", "head")
	u := sitAt(t, path, "2026-05-06T10:20", "dumb", 80, "saw", "upkeep")
	u.sees("Which saw?")
	u.press("S1" + enter)
	u.sees("daily upkeep")
	u.stop()
	u.ends(exitInterrupted)
	require.Equal(t, before, says(t, path, "2026-05-06T10:20", "book", "head"))
}

// A terminal too narrow for forms is asked line by line; one that shrinks goes on.
func TestGuideSmallTerminal(t *testing.T) {
	path := bookFile(t, "crew")
	u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 30, "skill", "observe", "--as", "luis")
	u.sees("An empty line takes")
	u.press("\x04")
	u.ends(exitInterrupted)
	u = sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "skill", "observe", "--as", "luis")
	u.sees("Who did you look at?")
	require.NoError(t, pty.Setsize(u.keys, &pty.Winsize{Rows: 5, Cols: 20}))
	u.press("an" + enter + "2.1" + enter + "\x03")
	u.ends(exitInterrupted)
}

// plainDay are the keys of a morning on which nothing has changed, for eight people with eight saws.
const plainDay = enter + // the block
	"12345678" + enter + enter + "y" + // who is here, as planned last, fit
	"12345678" + enter + // every saw in order
	"1" + "630" + enter + "122" + "n" + // the call, the first aider, who calls and who helps, tired
	"nnn2nn" + "nnnnn" + "nn" + // sky, ground
	"25m" + enter + "n" + // spread out
	"nnny" + // the fuel spot
	"3" + enter + "y" + enter + "n" + "1" + "y" // the fire class, no other readings, the place, no visitors, not begun, who decides, record it

// One look may cover two skills; what restricts stands first in what will be recorded.
func TestGuideObserveTwoSkills(t *testing.T) {
	a := at(t, bookFile(t, "crew"), "2026-05-06T10:20", "luis")
	said, asked := answered(t, a.lookFlow(false), map[string]string{"worker": "ana", "skill": "2.1", "skill 2": "3.3", "skill 3": "", "3.3:elbow": "125deg", "3.3:quick-release": "9s", "announced": "no", recordQuestion: "no"},
		func(q question) string { return firstText(q.preset, "m") })
	require.Equal(t, []string{"2.1", "3.3"}, lookedSkills(said))
	first := slices.IndexFunc(asked, func(q question) bool { return q.id == "2.1:look" })
	require.Equal(t, "At the truck, engine stopped, close by.", asked[first].preview, "where to stand comes before the first point")
	require.Empty(t, asked[first+1].preview)
	preview := asked[len(asked)-1].preview
	require.Contains(t, preview, "To be recorded: a look at Ana Ruiz (ana) by Luis Vega (luis), unannounced, block B7")
	require.Less(t, strings.Index(preview, "it RESTRICTS the skill at once"), strings.Index(preview, "2.1 "))
	_, asked = answered(t, a.lookFlow(true), map[string]string{"worker": "ana", "skill": "2.1", "announced": "no", recordQuestion: "no"}, func(q question) string { return firstText(q.preset, "m") })
	for _, q := range asked {
		require.NotEqual(t, "skill 2", q.id, "named on the command line")
	}
}

// A key that answers nothing says so where it was pressed, with the keys that do; the right one then goes on.
func TestGuideSaysWhichKeysAnswer(t *testing.T) {
	path := bookFile(t, "crew")
	says(t, path, "2026-05-06T06:00", "saw", "add", "S1", "--spindle", "9000rpm", "--blades", "200mm-225mm")
	u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "saw", "upkeep", "S1")
	u.sees("Was the daily upkeep done?")
	u.press("q")
	u.sees(`not taken: "q" answers nothing here; press y or n`)
	u.press(" ")
	u.sees(`space" answers nothing here`) // only what changes is drawn again
	u.press("\x1b[11~")
	u.sees(`f1"`)
	u.press(enter)
	u.sees("this needs an answer: y or n")
	u.press("yn")
	u.sees("What was left out of it?")
	u.press("w")
	u.sees(`not taken: "w" answers nothing here; press 1 to `)
	u.press("1" + enter)
	u.sees("How many wrench checks")
	u.press("\x03")
	u.ends(exitInterrupted)
	require.NoError(t, os.Remove(path+".saw-upkeep.draft.yaml"))
	u = sitAt(t, path, "2026-05-06T10:20", "dumb", 80, "saw", "upkeep", "S1")
	u.sees("Was the daily upkeep done?")
	u.press("q" + enter)
	u.sees(`not taken: "q" is none of these: y or n`)
	u.stop()
	u.ends(exitInterrupted)
}

func TestKeysSaid(t *testing.T) {
	for said, q := range map[string]question{
		"":                     {},
		"y or n":               {choices: yesOrNo()},
		"y, n, - or ?":         {choices: answersTo(hazards.Question{NA: true})},
		"1 to 3 or -":          {choices: []choice{{value: "a"}, {value: "b"}, {value: "c"}, {value: "no", key: "-"}}},
		"1 to 9, a, b, - or ?": {choices: append(plainChoices(strings.Fields("a b c d e f g h i j k")), choice{value: "no", key: "-"}, choice{value: "?", key: "?"})},
		"1 or 2":               {choices: plainChoices([]string{"a", "b"})},
		"1 to 9 or a to c":     {choices: plainChoices(strings.Fields("a b c d e f g h i j k l"))},
	} {
		require.Equal(t, said, q.keysSaid())
	}
}

// Ids are understood in a search as on a command line, spaces and all; what was typed and finds nothing can be taken back.
func TestGuideSearchUnderstandsIDs(t *testing.T) {
	q := question{search: true, choices: []choice{{value: "M1", label: "M1  The saw"}, {value: "M3", label: "M3  Harness"}, {value: "M10", label: "M10  Quality"},
		{value: "3.3", label: "3.3  Quick release"}, {value: "ana", label: "ana  Ana Ruiz"}}}
	for typed, want := range map[string]string{"m 3": "M3", "M-3": "M3", "3 3": "3.3", "3,3": "3.3", "m 1": "M1", "ana r": "ana"} {
		got, err := q.understand(typed)
		require.NoError(t, err, typed)
		require.Equal(t, want, got, typed)
		require.Equal(t, want, q.matching(typed)[0].value, typed)
	}
	require.Empty(t, q.matching("zz"))
	path := bookFile(t, "crew")
	u := sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "module", "attend", "--as", "luis")
	u.sees("Which module was taught?")
	u.press("m 3z")
	u.sees("backspace takes letters back")
	u.press("\x7f" + enter)
	u.sees("Which module was taught?  M3")
	u.press("1" + enter + back)
	u.sees("taken back: Who was taught?")
	u.press("\x03")
	u.ends(exitInterrupted)
	u = sitAt(t, path, "2026-05-06T10:20", "xterm-256color", 80, "module", "attend", "--as", "luis")
	u.sees("Go on with the entry that was stopped?")
	u.press("y")
	u.sees("Go on with the entry that was stopped?  yes")
	u.press("\x03")
	u.ends(exitInterrupted)
}

// Where a book has nothing to pick from yet, that is said at once, with what to do, and not after the answers.
func TestGuideNothingToPickFrom(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	says(t, path, "2026-05-06T06:00", "init", "--company", "Birch Creek", "--owner", "M. Okafor", "--jurisdiction", "bc", "--zone", "America/Vancouver")
	before := says(t, path, "2026-05-06T10:20", "book", "head")
	for command, want := range map[string]string{"tailgate check": "there is no block in this book\nwrite its card first: ringtrue block add", "saw upkeep": "there is no saw in this book\nadd one: ringtrue saw add",
		"module attend": "there is nobody but M. Okafor on the crew list\nadd who else there is: ringtrue worker add", "skill sign": "there is nobody but M. Okafor", "skill observe": "there is nobody but M. Okafor"} {
		u := sitAt(t, path, "2026-05-06T14:20", "xterm-256color", 100, strings.Fields(command)...)
		u.ends(exitRefused)
		u.sees(want)
		require.NoFileExists(t, path+"."+strings.ReplaceAll(command, " ", "-")+".draft.yaml")
	}
	require.Equal(t, before, says(t, path, "2026-05-06T10:20", "book", "head"))
	// A look does not have to name a block where the book knows none.
	says(t, path, "2026-05-06T14:21", "worker", "add", "Ana Ruiz", "--from", "2026-05-06")
	a := at(t, path, "2026-05-06T14:22", "okafor")
	_, asked := answered(t, a.lookFlow(false), map[string]string{"worker": "ana", "skill": "2.1", "skill 2": "", "announced": "no", recordQuestion: "no"}, func(q question) string { return firstText(q.preset, "m") })
	for _, q := range asked {
		require.NotEqual(t, "block", q.id)
	}
}

// On a screen that has become very small the question stays, and the keys that are told under it go.
func TestGuideKeepsTheQuestionOnAVerySmallScreen(t *testing.T) {
	one := func(answers) ([]question, error) {
		return []question{countQuestion("nut", "How many wrench checks of the blade nut?")}, nil
	}
	for _, size := range [][2]int{{80, 24}, {30, 8}} {
		g := &guide{flow: one, said: answers{}, was: answers{}, draft: &draft{path: filepath.Join(t.TempDir(), "draft.yaml"), now: time.Now}}
		s := &screen{g: g, width: size[0], height: size[1]}
		s.Init()
		s.take("2.7L")
		shown := s.View().Content
		require.Contains(t, shown, "How many wrench checks")
		require.Contains(t, shown, `not taken: "2.7L" is not`)
		require.Less(t, strings.Count(shown, "\n"), size[1])
		require.Equal(t, size[1] == 24, strings.Contains(shown, "esc: back"))
	}
}
