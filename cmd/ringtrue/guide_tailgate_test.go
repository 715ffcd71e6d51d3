//go:build !race

// The library that draws forms reads a terminal with races of its own while it shuts down (charm.land/bubbletea/v2
// 2.0.2, github.com/muesli/cancelreader 0.2.2), so these tests run without the race detector, in a step of their own.

package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/risk"
)

// bigCrew makes a book of eight people with eight saws, and their sheet of 6 May.
func bigCrew(t *testing.T) string {
	t.Helper()
	path := bookFile(t, "")
	crew, saws := "", ""
	for i, name := range []string{"Ada Berg", "Cal Dorn", "Eva Falk", "Gil Horn", "Ira Jung", "Kai Lind", "Mia Nord", "Ole Park"} {
		id := "S" + string(rune('1'+i))
		handle := strings.ToLower(name[:3])
		says(t, path, "2026-05-05T07:0"+id[1:], "worker", "add", name, "--from", "2026-05-05")
		says(t, path, "2026-05-05T07:1"+id[1:], "saw", "add", id, "--spindle", "9000rpm", "--blades", "200mm-225mm")
		crew += "  - {worker: " + handle + ", saw: " + id + ", group: light-brush, level: in hearing, fit: yes}\n"
		saws += strings.Replace(plainSaws, "S1", id, 1)
	}
	sheet := filepath.Join(t.TempDir(), "day.yaml")
	says(t, path, "2026-05-06T06:30", "tailgate", "sheet", "--block", "B7", "-o", sheet)
	text, err := os.ReadFile(sheet)
	require.NoError(t, err)
	filled := fill(string(text), map[string]string{"first-aider": "ada", "who-calls": "cal", "by": "ada", "accepted-by": "ada"}, map[string]string{"crew": crew, "saws": saws})
	require.NoError(t, os.WriteFile(sheet, []byte(filled), 0o600))
	require.Contains(t, says(t, path, "2026-05-06T06:45", "tailgate", "check", "--from", sheet, "--as", "ada"), "orientation is due", "nobody is released yet")
	return path
}

// A repeat-day tailgate for eight people and eight saws takes at most 60 key presses.
func TestGuideTailgateTakesAtMost60Keys(t *testing.T) {
	path := bigCrew(t)
	u := sitAt(t, path, "2026-05-07T06:40", "xterm-256color", 80, "tailgate", "check", "--as", "ada")
	u.sees("Which block is it today?")
	u.press(strings.TrimSuffix(plainDay, "y"))
	u.sees("To be recorded: block B7, 2026-05-07 06:40, by Ada Berg (ada)")
	u.sees("here: Cal Dorn (cal): saw S2, light-brush, in hearing; STOPPED")
	u.sees("HOLD. It ranks what to talk about first")
	shown := u.screen()
	require.Less(t, strings.Index(shown, "STOP PERSON: "), strings.Index(shown, "here: Ada Berg (ada)"), "what stops stands first")
	u.press("y")
	u.ends(exitNo) // nobody is released in this book
	require.LessOrEqual(t, u.presses+1, 60, "one more ends the pages of a long answer")
	u.sees("ringtrue tailgate show --block B7 --why")
	require.NoFileExists(t, path+".tailgate-check.draft.yaml")
	lines := strings.Split(strings.TrimSpace(says(t, path, "2026-05-07T06:41", "book", "dump")), "\n")
	recorded := lines[len(lines)-1]
	require.Contains(t, recorded, `"day":"2026-05-07"`)
	require.Equal(t, 8, strings.Count(recorded, `"fit":{"is":"yes"}`))
	require.Equal(t, 8, strings.Count(recorded, `{"is":"yes","question":"nut-tight"}`))
	require.Contains(t, recorded, `{"is":"told","question":"call-answered","value":"06:30"}`)
	require.Contains(t, recorded, `{"is":"no","question":"wires"}`)
}

// A morning is asked as the sheet asks it: only the block is offered, and nothing that a sheet never carries is left out.
func TestGuideTailgateOffersNothingAskedAfresh(t *testing.T) {
	path := bigCrew(t)
	at, err := time.Parse("2006-01-02T15:04", "2026-05-07T06:40")
	require.NoError(t, err)
	a := &app{env: env{getenv: func(string) string { return "" }, now: func() time.Time { return at }}, ctx: t.Context(), path: path}
	defer a.close()
	require.NoError(t, a.read())
	said := answers{"block": "B7", askCrew: "ada,cal", askSawsFine: ""}
	qs, err := a.tailgateFlow()(said)
	require.NoError(t, err)
	asked := map[string]bool{}
	for _, q := range qs {
		asked[q.id] = true
		if q.id != "block" {
			require.Empty(t, q.preset, q.id)
		}
	}
	for _, id := range []string{"wires", "hung-up", "wind-thrown", "public", "neighbour-distance", "call-by", "call-answered", "first-aider", "who-calls",
		"thunder", "wind-takes-fall", "neighbours-hidden", askCrew, askFit, "S1 nut-tight", "S2 tagged"} {
		require.True(t, asked[id], id)
	}
	require.False(t, asked["fuel-can"], "carried, and marked if it is no longer true")
	said[askStale] = "fuel-can,plan ada"
	qs, err = a.tailgateFlow()(said)
	require.NoError(t, err)
	for _, q := range qs {
		asked[q.id] = true
	}
	require.True(t, asked["fuel-can"])
	require.True(t, asked["plan ada"])
}

// What nobody knows yet asks who finds out by when; what is pasted with spaces or written without a colon is understood.
func TestGuideTailgateDontKnow(t *testing.T) {
	path := bigCrew(t)
	u := sitAt(t, path, "2026-05-07T06:40", "xterm-256color", 80, "tailgate", "check", "--as", "ada")
	u.sees("Which block is it today?")
	u.press(enter + "1" + enter + enter + "y" + enter + "1" + enter + "1" + "  6:30 " + enter + "1-n" + "?" + "1" + "0730" + enter + "\x03")
	u.ends(exitInterrupted)
	text, err := os.ReadFile(path + ".tailgate-check.draft.yaml")
	require.NoError(t, err)
	require.Contains(t, string(text), "thunder by: \"07:30\"")
	require.Contains(t, string(text), "call-answered: \"06:30\"")
	require.Contains(t, string(text), "who-calls: \"no\"")
}

// answered goes through a flow, each question answered by its id, or as said for all others, and gives all answers.
func answered(t *testing.T, f flow, by map[string]string, otherwise func(question) string) (answers, []question) {
	t.Helper()
	g := &guide{flow: f, said: answers{}, was: answers{}, draft: &draft{path: filepath.Join(t.TempDir(), "draft.yaml"), now: time.Now}}
	var asked []question
	for range 300 {
		q, open, err := g.next()
		require.NoError(t, err)
		if !open {
			return g.said, asked
		}
		asked = append(asked, q)
		text, ok := by[q.id]
		if !ok {
			text = otherwise(q)
		}
		require.NoError(t, g.answer(q, text), "%s: %q", q.id, text)
	}
	require.Fail(t, "the questions do not end")
	return nil, nil
}

// at is an app that reads a book at a moment.
func at(t *testing.T, path, now, as string) *app {
	t.Helper()
	moment, err := time.Parse("2006-01-02T15:04", now)
	require.NoError(t, err)
	a := &app{env: env{getenv: func(string) string { return "" }, now: func() time.Time { return moment }}, ctx: t.Context(), path: path, as: as}
	t.Cleanup(a.close)
	require.NoError(t, a.read())
	return a
}

// plainAnswer is how a plain morning is answered.
func plainAnswer(q question) string {
	switch {
	case q.many && q.optional:
		return ""
	case q.id == "call-answered":
		return "0630"
	case q.id == "neighbour-distance":
		return "25m"
	case q.id == "fuel-ready", q.id == askPlace, q.id == askFit:
		return "yes"
	case q.optional || q.preset != "":
		return ""
	case len(q.choices) > 0 && q.choices[0].value == "yes":
		return "no"
	case len(q.choices) > 0:
		return q.choices[0].value
	}
	return "no"
}

// A stopped check is gone on with for two hours: what the sky was like is not known later.
func TestGuideTailgateDraftGetsOld(t *testing.T) {
	path := bigCrew(t)
	for now, asks := range map[string]string{"2026-05-07T08:35": "Go on with the entry that was stopped?", "2026-05-07T08:45": "Which block is it today?"} {
		u := sitAt(t, path, "2026-05-07T06:40", "xterm-256color", 80, "tailgate", "check", "--as", "ada")
		u.sees("Which block is it today?")
		u.press(enter + "12" + enter + "\x03")
		u.ends(exitInterrupted)
		u = sitAt(t, path, now, "xterm-256color", 80, "tailgate", "check", "--as", "ada")
		u.sees(asks)
		u.press("\x03")
		u.ends(exitInterrupted)
		require.NoError(t, os.Remove(path+".tailgate-check.draft.yaml"))
	}
}

// What needs a control is asked about before acceptance: what is done, of what kind, and who sees to it. Two visitors and a
// spare saw stand on the sheet too.
func TestGuideTailgateControlsVisitorsSpare(t *testing.T) {
	a := at(t, bigCrew(t), "2026-05-07T06:40", "ada")
	said, asked := answered(t, a.tailgateFlow(), map[string]string{
		askCrew: "ada,cal", askStale: "hidden-base", "hidden-base": "yes", askSpare: "S8", askSawsFine: "S1,S2,S8", "call-by": "1", "first-aider": "ada", "who-calls": "cal",
		"public": "yes", "visitor": "forester of the client", "visitor with": "ada", "visitor 2": "road crew", "visitor 2 with": "cal",
		askControls: "public,hidden-base", "control public": "technical", "control public what": "tape across the road", "control public owner": "cal",
		"control hidden-base": "organised", "control hidden-base what": "part the brush first", "control hidden-base owner": "ada", recordQuestion: "no",
	}, plainAnswer)
	var ids []string
	preview := ""
	for _, q := range asked {
		ids = append(ids, q.id)
		preview += q.preview
	}
	require.Less(t, slices.Index(ids, askControls), slices.Index(ids, "accepted-by"))
	for _, line := range []string{"control: public: tape across the road (technical), Cal Dorn (cal) sees to it", "control: hidden-base: part the brush first (organised), Ada Berg (ada) sees to it",
		"visitor: forester of the client, with Ada Berg (ada)", "visitor: road crew, with Cal Dorn (cal)"} {
		require.Contains(t, preview, line)
	}
	m, err := a.morningAt("B7")
	require.NoError(t, err)
	sheet := m.sheetOf(said, "2026-05-07", "06:40", "ada")
	require.Len(t, sheet.Saws, 3)
	require.Equal(t, "S8", sheet.Saws[2].ID)
}

// What was done about the same thing on the block before can be picked instead of typed: never marked beforehand, with its kind, and who
// sees to it is asked afresh. Sheets in between, other things and other blocks' words do not come into it.
func TestGuideTailgateOffersWordsOfBefore(t *testing.T) {
	path := bigCrew(t)
	crew := "  - {worker: ada, saw: S1, group: light-brush, level: in hearing, fit: yes}\n  - {worker: cal, saw: S2, group: light-brush, level: in hearing, fit: yes}\n"
	for _, morning := range [][2]string{{"2026-05-07", "  - {for: hidden-base, kind: organised, what: part the brush first, owner: cal}\n"}, {"2026-05-08", ""}} {
		day, controls := morning[0], morning[1]
		sheet := filepath.Join(t.TempDir(), "day.yaml")
		says(t, path, day+"T06:30", "tailgate", "sheet", "--block", "B7", "-o", sheet)
		text, err := os.ReadFile(sheet)
		require.NoError(t, err)
		filled := fill(string(text), map[string]string{"first-aider": "ada", "who-calls": "cal", "by": "ada", "accepted-by": "ada", "hidden-base": "yes"},
			map[string]string{"crew": crew, "saws": plainSaws + strings.Replace(plainSaws, "S1", "S2", 1), "controls": controls})
		require.NoError(t, os.WriteFile(sheet, []byte(filled), 0o600))
		require.Contains(t, says(t, path, day+"T06:45", "tailgate", "check", "--from", sheet, "--as", "ada"), "NO SAW")
	}
	a := at(t, path, "2026-05-09T06:40", "ada")
	morning := map[string]string{askCrew: "ada,cal", askStale: "hidden-base", "hidden-base": "yes", "public": "yes", askSawsFine: "S1,S2", "call-by": "1", "first-aider": "ada", "who-calls": "cal",
		askControls: "public,hidden-base", "control public": "technical", "control public what": "tape across the road", "control public owner": "cal",
		"control hidden-base what": "1", "control hidden-base owner": "ada", recordQuestion: "no"}
	said, asked := answered(t, a.tailgateFlow(), morning, plainAnswer)
	m, err := a.morningAt("B7")
	require.NoError(t, err)
	require.Equal(t, []hazards.Control{{For: "public", Kind: risk.Technical, What: "tape across the road", Owner: "cal"},
		{For: "hidden-base", Kind: risk.Organised, What: "part the brush first", Owner: "ada"}}, m.sheetOf(said, "2026-05-09", "06:40", "ada").Controls)
	for _, q := range asked {
		require.NotEqual(t, "control hidden-base", q.id, "the kind comes with the words")
		switch q.id {
		case "control hidden-base what":
			require.Equal(t, []choice{{value: "part the brush first", label: "part the brush first (organised)"}, {value: dontKnow, label: "something else", key: "?"}}, q.choices)
			require.Empty(t, q.preset)
			_, err := q.understand("")
			require.Error(t, err, "nothing is taken without a key")
		case "control public what":
			require.Empty(t, q.choices, "nothing was done about it before")
		}
	}
	morning["control hidden-base what"], morning["control hidden-base in words"], morning["control hidden-base"] = "?", "burn the slash", "taken away"
	said, _ = answered(t, a.tailgateFlow(), morning, plainAnswer)
	require.Equal(t, hazards.Control{For: "hidden-base", Kind: risk.TakenAway, What: "burn the slash", Owner: "ada"}, m.sheetOf(said, "2026-05-09", "06:40", "ada").Controls[1])
}
