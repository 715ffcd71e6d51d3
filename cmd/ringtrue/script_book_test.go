package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// bookLines are the command lines behind the script command "book", each after the time at which it is given. "book"
// runs the first part; "book seen" and "book crew" go on with another one, "book key" behind "book seen".
var bookLines = map[string][]string{
	// An owner, an observer, a recruit (Ana), an experienced hand (Ben) and a block.
	"": {
		"2026-05-01T08:00 init --company 'Birch Creek Thinning' --owner 'M. Okafor' --jurisdiction bc --zone UTC --appoint 'Luis Vega:teach,observe,first-aid'",
		"2026-05-01T08:30 block add B7 --name 'Upper Larch' --at 54.71,-124.92 --access-km 42.5 --walk 10min --slope-max 45% --tree-height 4m --ambulance 75min" +
			" --call 'the emergency number' --road 'km 42.5 on the Larch road, red gate' --channel 'radio 5' --meeting 'landing at km 42' --plan-b 'carry to the landing' --carry 'six from the road camp'",
		"2026-05-04T07:00 worker add 'Ana Ruiz' --from 2026-05-04 --crew north --seasons 0",
		"2026-05-04T07:05 worker add 'Ben Holm' --from 2022-04-01 --crew north --seasons 4",
	},
	// What a sign-off of Ana's critical skill 3.3 needs: taught, three met looks, on two days, one of them unannounced.
	"seen": {
		"2026-05-04T15:00 module attend ana M3 --as luis --language es --understood 'showed the quick release'",
		"2026-05-05T10:20 skill observe ana 3.3 --as luis --announced yes --block B7 " + met33,
		"2026-05-05T14:20 skill observe ana 3.3 --as luis --announced no --block B7 " + met33,
		"2026-05-06T09:00 skill observe ana 3.3 --announced yes --block B7 " + met33,
	},
	// Okafor, who may sign, has a key; its passphrase is scriptPhrase.
	"key": {"2026-05-06T10:00 key make --as okafor --passphrase-fd 0"},
	// Ana may saw in sight, Ben in hearing.
	"crew": crewLines(),
}

// scriptPhrase is the passphrase of every key of the scripts.
const scriptPhrase = "three old saws under the pine"

const (
	met33   = "--met all --value elbow=125deg,quick-release=2s"
	metGate = "1.3 2.1 3.1 3.3 4.2 5.1 5.3 5.4 7.1 9.2 9.4 11.1 12.1 12.2 --met all --value idle=0rpm,elbow=125deg,quick-release=2s,ignition=10m,heat=8m,4.2:start=5m," +
		"5.4:signal=25m,distance=25m,tall=2,recognises=10,zone=2,press=30s,tourniquet=50s,12.2:call=1min,card=5s"
)

// crewLines: everybody oriented, all modules attended or credited, each gate skill met once, equipment issued, and an
// opening release for the experienced hand.
func crewLines() []string {
	const shown = " --block B7 --topics 'all, wires, meeting point, radio call' --language en --understood 'showed the meeting point'"
	lines := []string{
		"2026-05-05T07:00 worker orient luis ana ben" + shown,
		"2026-05-05T07:00 worker orient okafor --as luis" + shown,
	}
	for m := 1; m <= 12; m++ {
		lines = append(lines, fmt.Sprintf("2026-05-05T08:00 module attend ana M%d --as luis --language es", m),
			fmt.Sprintf("2026-05-05T08:00 skill credit ben M%d --reason 'course in 2021, content compared' --doc 'certificate 88-12'", m))
	}
	for _, who := range []string{"ana", "ben"} {
		for _, item := range []string{"helmet", "visor", "eyes", "ears", "gloves", "trousers", "shins", "boots", "high-vis", "first-dressing", "tourniquet", "gauze"} {
			lines = append(lines, "2026-05-05T09:00 ppe issue "+who+" "+item)
		}
		lines = append(lines, "2026-05-05T14:00 skill observe "+who+" --as luis --announced yes --block B7 "+metGate)
	}
	return append(lines, "2026-05-05T16:00 skill release ben light-brush --level 'in hearing' --slope-max 30% --opening")
}

// madeBooks makes the file of each book once and keeps its bytes: all scripts begin with copies.
var madeBooks = map[string]func() ([]byte, error){
	"": onceMade(""), "seen": onceMade("seen"), "crew": onceMade("crew"), "key": onceMade("key"),
}

func onceMade(part string) func() ([]byte, error) {
	return sync.OnceValues(func() ([]byte, error) {
		dir, err := os.MkdirTemp("", "ringtrue-book")
		if err != nil {
			return nil, err
		}
		defer os.RemoveAll(dir)
		path := filepath.Join(dir, "book.db")
		for _, line := range linesOf(part) {
			now, line, _ := strings.Cut(line, " ")
			getenv := func(name string) string {
				return map[string]string{"NOW": now, "RINGTRUE_BOOK": path}[name]
			}
			if code, out := inside(getenv, wordsOf(line, '\'')...); code != exitDone {
				return nil, fmt.Errorf("%s\n%s", line, out)
			}
		}
		return os.ReadFile(path)
	})
}

func linesOf(part string) []string {
	switch part {
	case "":
		return bookLines[""]
	case "key":
		return slices.Concat(bookLines[""], bookLines["seen"], bookLines["key"])
	}
	return slices.Concat(bookLines[""], bookLines[part])
}

// bookFile makes a copy of one of the books of the scripts.
func bookFile(t *testing.T, book string) string {
	t.Helper()
	text, err := madeBooks[book]()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "book.db")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	return path
}

// scriptBook is the script command "book".
func scriptBook(ts *testscript.TestScript, neg bool, args []string) {
	part := strings.Join(args, " ")
	if part == "starter-1" {
		scriptOldBook(ts)
		return
	}
	if neg || madeBooks[part] == nil {
		ts.Fatalf("usage: book [seen|crew|key|starter-1]")
	}
	text, err := madeBooks[part]()
	ts.Check(err)
	ts.Check(os.WriteFile(ts.Getenv("RINGTRUE_BOOK"), text, 0o600))
	lines := linesOf(part)
	now, _, _ := strings.Cut(lines[len(lines)-1], " ")
	ts.Setenv("NOW", now)
}

// scriptOldBook copies a book that the program made when it offered the first starter curriculum: Ana has met each gate skill of
// then once, and all but the criterion rim of 1.1 three times; Ben is signed off for light brush, 8.3 and 11.3, and released unsupervised.
func scriptOldBook(ts *testscript.TestScript) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "books", "starter-1.db"))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.Getenv("RINGTRUE_BOOK"), text, 0o600))
	ts.Setenv("NOW", "2026-05-20T08:00")
}

// wordsOf splits a line at spaces outside quotes.
func wordsOf(line string, quote rune) []string {
	var words []string
	for i, part := range strings.Split(line, string(quote)) {
		if i%2 == 1 {
			words = append(words, part)
			continue
		}
		words = append(words, strings.Fields(part)...)
	}
	return words
}

// plainMorning are the answers of a morning on which nothing stops, for "book crew": Ben cuts light brush alone, Okafor
// and Luis are there without a saw.
var plainMorning = map[string]string{
	"at": "06:40", "by": "okafor", "accepted-by": "okafor", "coordinates": "54.71, -124.92",
	"call-by": "radio 5", "call-answered": "06:30", "check-in": "1h", "first-aider": "luis", "who-calls": "luis", "aider-if-hurt": "okafor", "stop-signal": "both arms up", "tired-hurried": "no",
	"thunder": "no", "wind-takes-fall": "no", "heavy-rain": "no", "wind-force": "2", "neighbours-hidden": "no", "hot-day": "no",
	"wires": "no", "hung-up": "no", "wind-thrown": "no", "dead-trees": "no", "public": "no", "who-else": "no", "steepest-slope": "12%", "wet-icy": "no", "rough-ground": "no", "dry-litter": "no",
	"hidden-base": "no", "largest-stem": "4cm", "bent-stems": "no", "tallest-stem": "4m",
	"neighbour-distance": "25m", "one-above": "no",
	"fuel-ignition": "10m", "fuel-start": "5m", "fuel-smoking": "20m", "fuel-hot": "no", "fuel-stalled": "no", "fuel-leak": "no", "fuel-unlabelled": "no",
	"fuel-cab": "no", "fuel-water": "no", "fuel-far": "no", "fuel-can": "10L", "fuel-ready": "yes",
	"fire-class": "low", "fire-class-at": "06:20", "fire-class-source": "the agency's page",
}

const (
	plainCrew = `  - {worker: okafor, level: no saw, fit: yes}
  - {worker: luis, level: no saw, fit: yes}
  - {worker: ben, saw: S1, group: light-brush, level: in hearing, fit: yes}
`
	plainSaws = `  - {id: S1, tagged: no, guard: yes, ring: yes, idle-still: yes, throttle: yes, stop-works: yes, nut-tight: yes, release-works: yes, handles: yes, no-leak: yes, filed: yes}
`
)

var (
	blankSaws = regexp.MustCompile(`(?m)^saws:\n(  .*\n)+`)
)

// scriptFill fills a day sheet that `ringtrue tailgate sheet` wrote. NAME=ANSWER replaces an answer, also one carried
// forward; an empty ANSWER leaves it blank. crew=LINE, saws=LINE and controls=LINE add a line to those lists.
func scriptFill(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: fill SHEET [NAME=ANSWER...]")
	}
	given, added := map[string]string{}, map[string]string{"crew": plainCrew, "saws": plainSaws}
	for _, a := range args[1:] {
		name, answer, ok := strings.Cut(a, "=")
		if !ok {
			ts.Fatalf("fill: %q is not NAME=ANSWER", a)
		}
		if name == "crew" || name == "saws" || name == "controls" || name == "fire-days" {
			added[name] += "  - " + answer + "\n"
			continue
		}
		given[name] = answer
	}
	path := ts.MkAbs(args[0])
	text, err := os.ReadFile(path)
	ts.Check(err)
	ts.Check(os.WriteFile(path, []byte(fill(string(text), given, added)), 0o600))
	for name := range given {
		ts.Fatalf("fill: the sheet has no blank %q", name)
	}
}

// fill puts answers into the blanks and lines under their lists. What it has used of given, it takes out.
func fill(sheet string, given, added map[string]string) string {
	sheet = blankSaws.ReplaceAllString(sheet, "saws:\n")
	var out strings.Builder
	for line := range strings.Lines(sheet) {
		name, rest, _ := strings.Cut(strings.TrimSpace(line), ":")
		rest = strings.TrimSpace(rest)
		answer, asked := given[name]
		if !asked && rest == "" {
			answer = plainMorning[name]
		}
		switch {
		case asked, answer != "":
			indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
			fmt.Fprintf(&out, "%s%s: %s\n", indent, name, answer)
			delete(given, name)
		default:
			out.WriteString(line)
		}
		out.WriteString(added[name])
	}
	return out.String()
}
