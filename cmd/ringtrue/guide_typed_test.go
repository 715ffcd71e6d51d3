//go:build !race

package main

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards"
)

// askedUntil answers a flow as by says, and for the rest as a plain morning, until a question is asked.
func askedUntil(t *testing.T, f flow, id string, by map[string]string) (*guide, question) {
	t.Helper()
	g := &guide{flow: f, said: answers{}, was: answers{}, draft: &draft{path: filepath.Join(t.TempDir(), "draft.yaml"), now: time.Now}}
	for range 300 {
		q, open, err := g.next()
		require.NoError(t, err)
		require.True(t, open, "%s is never asked", id)
		if q.id == id {
			return g, q
		}
		text, ok := by[q.id]
		if !ok {
			text = plainAnswer(q)
		}
		require.NoError(t, g.answer(q, text), "%s: %q", q.id, text)
	}
	require.Fail(t, "the questions do not end")
	return nil, question{}
}

// two are ada and cal, with the saws of the day before.
func two(more map[string]string) map[string]string {
	said := map[string]string{askCrew: "ada,cal", askSawsFine: "S1,S2", "call-by": "1", "first-aider": "ada", "who-calls": "cal"}
	for id, text := range more {
		said[id] = text
	}
	return said
}

// What is wrong is said where it is typed, with what to write instead; the right answer is then taken.
func TestGuideRefusesWhereItIsTyped(t *testing.T) {
	path := bigCrew(t)
	for _, c := range []struct {
		id, wrong, says, right string
		by                     map[string]string
	}{
		{"call-answered", "0730", "07:30 has not come yet; it is 06:40", "0630", nil},
		{"call-answered", "half six", "is not a clock time", "?", nil},
		{"call-answered", "don't know yet - zed by 07:30", "zed", "don't know yet - cal by 07:30", nil},
		{"neighbour-distance", "25", `"25" has no unit`, "25m", nil},
		{"neighbour-distance", "25m - zed at 06:30", "zed", "25m - cal at 06:30", nil},
		{"wind-force", "strong", "is none of these", "3", nil},
		{hazards.FireClass, "", "this needs an answer", "high", nil},
		{hazards.FireClassAt, "0720", "07:20 has not come yet", "0620", map[string]string{hazards.FireClass: readEarlier}},
		{"thunder-last", "7:05", "07:05 has not come yet", "6:05", map[string]string{askReadings: "thunder-last"}},
		{"temperature", "17", `"17" has no unit`, "17C", map[string]string{askReadings: "temperature"}},
		{"started", "0700", "07:00 has not come yet", "0630", map[string]string{askBegun: "yes"}},
		{"coordinates", "the landing", "is no place; write both numbers as on the card: 54.71, -124.92", "54.70, -124.92", map[string]string{askPlace: "no"}},
		{"coordinates", "154.70, -124.92", "is no place", "54.70 -124.92", map[string]string{askPlace: "no"}},
		{"visitor", strings.Repeat("forester ", 70), "longer than 500 letters", "forester", nil},
		{"saw of cal", "S1", "is none of these", "S2", map[string]string{askStale: "plan cal", "plan cal": "in hearing"}},
		{"thunder by", "noon", "is not a clock time", "0730", map[string]string{"thunder": "?", "thunder who": "cal"}},
	} {
		g, q := askedUntil(t, at(t, path, "2026-05-07T06:40", "ada").tailgateFlow(), c.id, two(c.by))
		before := len(g.order)
		require.ErrorContains(t, g.answer(q, c.wrong), c.says, "%s: %q", c.id, c.wrong)
		require.Len(t, g.order, before, "%s: %q is not taken", c.id, c.wrong)
		require.NoError(t, g.answer(q, c.right), "%s: %q", c.id, c.right)
	}
}

// Where the book keeps no saws, the same one is typed for two people only once.
func TestGuideSawTypedTwice(t *testing.T) {
	m := &morning{crew: []choice{{value: "ada", label: "ada  Ada Berg"}, {value: "cal", label: "cal  Cal Dorn"}}}
	said := answers{askCrew: "ada,cal", "plan ada": "in hearing", "saw of ada": "S1"}
	_, err := m.sawOf("cal", said)("s1")
	require.EqualError(t, err, "Ada Berg (ada) uses saw s1 today; name another one, or go back and change that")
	_, err = m.sawOf("ada", said)("S1")
	require.NoError(t, err)
}

// typedAnything are answers of every kind, most of them wrong for any one question.
var typedAnything = []string{"06:30", "630", "23:59", "25m", "6cm", "45min", "38%", "25km/h", "14C", "20L", "17", "no", "yes", "not applicable", "?", "don't know yet - ada by 07:30",
	"don't know yet - zed by 07:30", "no - cal at 06:30", "no - zed at 06:30", "1h - cal at 6:30", "agency page", "road: #1, {km 4}", "54.71, -124.92", "NaN", "20s", "- a", "ends\x01here",
	strings.Repeat("long ", 120), "extreme"}

// However a morning is answered, what was taken where it was typed can be recorded at the end: there is no other refusal.
func TestGuideRefusesNothingAtTheEnd(t *testing.T) {
	path := bigCrew(t)
	for seed := range uint64(12) {
		draw := rand.New(rand.NewPCG(seed, 4))
		a := at(t, path, "2026-05-07T06:40", "ada")
		said, asked := answeredBy(t, a.tailgateFlow(), draw)
		last := asked[len(asked)-1]
		require.Equal(t, recordQuestion, last.id)
		require.Equal(t, yesOrNo(), last.choices, "seed %d: %s\n%v", seed, last.preview, said)
	}
}

// answeredBy goes through a flow with drawn answers, each tried until one is taken.
func answeredBy(t *testing.T, f flow, draw *rand.Rand) (answers, []question) {
	t.Helper()
	g := &guide{flow: f, said: answers{}, was: answers{}, draft: &draft{path: filepath.Join(t.TempDir(), "draft.yaml"), now: time.Now}}
	var asked []question
	for range 400 {
		q, open, err := g.next()
		require.NoError(t, err)
		if !open {
			return g.said, asked
		}
		asked = append(asked, q)
		tries := drawn(q, draw)
		require.True(t, slices.ContainsFunc(tries, func(text string) bool { return g.answer(q, text) == nil }), "%s takes none of %q", q.id, tries)
	}
	require.Fail(t, "the questions do not end")
	return nil, nil
}

// drawn are answers to try, in a drawn order.
func drawn(q question, draw *rand.Rand) []string {
	var list []string
	switch {
	case q.id == "block":
		return []string{"B7"}
	case q.many:
		var some []string
		for _, c := range q.choices {
			if draw.IntN(3) == 0 {
				some = append(some, c.value)
			}
		}
		return []string{strings.Join(some, ","), q.choices[0].value}
	case len(q.choices) > 0:
		for _, c := range q.choices {
			list = append(list, c.value)
		}
	default:
		list = slices.Clone(typedAnything)
	}
	draw.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	if q.optional {
		list = append(list, "")
	}
	return list
}

// Where a morning cannot be recorded after all, recording it is not offered: what stands in the way is said without the lines of a sheet
// that nobody has seen.
func TestGuideDoesNotOfferWhatCannotBeRecorded(t *testing.T) {
	m := &morning{foresee: func(answers) foreseen {
		return foreseen{err: fmt.Errorf("the answers:173: crew is blank: who stands here now?\nthe answers:9: by: nobody is called zed")}
	}}
	q := m.recordMorning(answers{})
	require.Equal(t, "What stands in the way:\ncrew is blank: who stands here now?\nby: nobody is called zed", q.preview)
	_, err := q.understand("y")
	require.Error(t, err)
	said, err := q.understand("n")
	require.NoError(t, err)
	require.Equal(t, hazards.No, said)
}

// At the terminal: the wrong key of a killer is refused, a clock time ahead is refused in its place, and nobody gets past the wind.
func TestGuideKillersAtTheTerminal(t *testing.T) {
	path := bigCrew(t)
	u := sitAt(t, path, "2026-05-07T06:40", "xterm-256color", 80, "tailgate", "check", "--as", "ada")
	u.sees("Which block is it today?")
	u.press(enter + "12" + enter + enter + "y" + enter + "12" + enter + "1" + "730" + enter)
	u.sees("not taken: 07:30 has not come yet; it is 06:40")
	u.press("\x7f\x7f\x7f" + "630" + enter + "122" + "n" + "nnn")
	u.sees("What does the wind do to the trees?")
	u.press(enter)
	u.sees("not taken: this needs an answer: ")
	u.press("4" + "nn" + "nnn" + enter)
	u.sees("not taken: this needs an answer: y, n or ?")
	u.press("n")
	u.sees("Are there standing dead or leaning trees within two tree lengths of where") // as it was answered
	u.press("\x03")
	u.ends(exitInterrupted)
}
