package glance

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store/page/words"
	"example.org/ringtrue/training"
)

// crewNames are fifteen people; some names take more cells than letters, one stands within another.
var crewNames = []string{"Ada", "Adam", "Bo", "Étienne", "李雷", "Gil", "Ira-May", "Kai", "Mia", "Noor", "Ole", "Pia", "Ruth", "Søren", "Włodek"}

func sentence(t *rapid.T, label string) string {
	return strings.Join(rapid.SliceOfN(rapid.SampledFrom([]string{"rain", "é", "footing", "of", "unreadable"}), 1, 30).Draw(t, label), " ") + "."
}

// anyAssessment is an answer with stops, controls and things to watch of any number, for a crew of one to fifteen, with and without
// lines of their own.
func anyAssessment(t *rapid.T) (hazards.Assessment, []hazards.Control) {
	crew := crewNames[:rapid.IntRange(1, len(crewNames)).Draw(t, "crew")]
	a := hazards.Assessment{Answer: rapid.SampledFrom([]hazards.Verdict{hazards.Go, hazards.GoWithControls, hazards.Hold}).Draw(t, "answer"), Block: "H1", Ends: "18:00",
		Sentence: "No stop found at 06:40 on the answers given. Ada decides.", Emergency: []string{"If somebody is hurt: call for help on radio 4."}, AcceptedBy: "Ada",
		NotLookedAt: rapid.SliceOfN(rapid.SampledFrom([]string{"wind", "heat", "road travel"}), 0, 20).Draw(t, "not looked at"), WatchFor: []string{"thunder or lightning", "a saw is swapped"}}
	site := false
	for range rapid.IntRange(0, 12).Draw(t, "findings") {
		f := hazards.Finding{Topic: "weather", ID: rapid.SampledFrom([]string{"wind", "rain"}).Draw(t, "id"), What: sentence(t, "what"), Of: hazards.OfSite,
			Effect: rapid.SampledFrom([]hazards.Effect{hazards.StopSite, hazards.StopPerson, hazards.StopSaw, hazards.NeedsControl, hazards.Watch}).Draw(t, "effect"),
			Means:  rapid.SampledFrom([]string{"", hazards.Stopped, hazards.NotYet}).Draw(t, "means")}
		switch f.Effect {
		case hazards.StopSite:
			site = true
		case hazards.StopPerson:
			f.Of, f.Subject = hazards.OfPerson, rapid.SampledFrom(crew).Draw(t, "who")
			f.What = f.Subject + ": " + f.What
		case hazards.StopSaw:
			f.Of, f.Subject = hazards.OfSaw, "S1"
			f.What = "Saw S1 stays down: " + f.What
		}
		if rapid.Bool().Draw(t, "line") {
			f.Line, f.Do = sentence(t, "line"), sentence(t, "do")
		}
		a.Findings = append(a.Findings, f)
	}
	for _, who := range crew {
		m := hazards.May{Worker: who, Level: training.InHearing, Group: "thinning", Saw: rapid.SampledFrom([]string{"", "S1", "S2"}).Draw(t, "saw")}
		if site || rapid.Bool().Draw(t, "stopped") {
			m.Stopped, m.Level = []string{sentence(t, "why")}, training.NoSaw
		}
		a.May = append(a.May, m)
	}
	var controls []hazards.Control
	for range rapid.IntRange(0, 5).Draw(t, "controls") {
		controls = append(controls, hazards.Control{For: "wind", What: sentence(t, "control"), Owner: rapid.SampledFrom(crew).Draw(t, "owner")})
	}
	return a, controls
}

// Whatever is found, and however little room there is: no stop loses a word, everybody who is stopped stands on the screen by name, every
// control keeps its owner, the text to read aloud is whole, and no line is wider than the screen.
func TestStopsAreNeverCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, controls := anyAssessment(t)
		s := Of(a, Morning{BlockName: "Upper Hazel", When: time.Date(2026, 7, 6, 6, 40, 0, 0, time.UTC), Controls: controls})
		size := Size{Wide: rapid.IntRange(40, 120).Draw(t, "wide"), High: rapid.IntRange(10, 60).Draw(t, "high")}
		lang := rapid.SampledFrom(words.Languages()).Draw(t, "language")
		lines := s.Lines(speaker(t, lang), size, 0)
		text := oneSpace(strings.Join(lines, "\n"))
		for _, f := range a.Findings {
			if lang != words.English {
				break // other languages have other words
			}
			if f.Effect == hazards.StopSite || f.Effect == hazards.StopPerson || f.Effect == hazards.StopSaw {
				require.Contains(t, strings.ToLower(text), line(f))
				require.Contains(t, text, f.Do)
			}
		}
		for _, m := range a.May {
			if len(m.Stopped) > 0 {
				require.True(t, holds(text, m.Worker), "%s is stopped\n%s", m.Worker, text)
			}
		}
		for _, c := range controls {
			require.True(t, holds(text, c.Owner), c.Owner)
		}
		require.Contains(t, text, "radio 4")
		for _, l := range lines {
			require.LessOrEqual(t, width(l), size.Wide, l)
		}
	})
}

// A screen that can be made to fit does: there is nothing more to cut where it is longer.
func TestLinesFitWhereTheyCan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, controls := anyAssessment(t)
		s := Of(a, Morning{Controls: controls})
		size := Size{80, rapid.IntRange(10, 40).Draw(t, "high")}
		lines := s.Lines(english(t), size, 0)
		if len(lines) >= size.High {
			require.Equal(t, s.Lines(english(t), Size{80, 0}, 0), lines, "all is cut that may be")
		}
		require.LessOrEqual(t, len(lines), len(s.Lines(english(t), Size{80, 1000}, 0)))
	})
}

func TestEqualThingsAreOneRow(t *testing.T) {
	a := hazards.Assessment{Answer: hazards.GoWithControls, Findings: []hazards.Finding{
		{Effect: hazards.StopPerson, Of: hazards.OfPerson, Subject: "Ada", What: "Ada: not fit today."},
		{Effect: hazards.StopPerson, Of: hazards.OfPerson, Subject: "Bo", What: "Bo: not fit today."},
		{Effect: hazards.StopSaw, Of: hazards.OfSaw, Subject: "S1", What: "Saw S1 stays down: it leaks."},
		{Effect: hazards.StopSaw, Of: hazards.OfSaw, Subject: "S2", What: "Saw S2 stays down: it leaks."},
	}, May: []hazards.May{
		{Worker: "Ada", Stopped: []string{"not fit today"}, Instead: "no work on the block today"}, {Worker: "Bo", Stopped: []string{"not fit today"}, Instead: "no work on the block today"},
		{Worker: "Gil", Saw: "S1", Stopped: []string{"saw S1: it leaks"}, Instead: "another saw that has passed its checks"},
		{Worker: "Kai", Saw: "S3", Group: "thinning", Level: training.InHearing}, {Worker: "Mia", Saw: "S4", Group: "thinning", Level: training.InHearing}, {Worker: "Ole"},
	}}
	s := Of(a, Morning{})
	require.Equal(t, []Stop{{Names: []string{"Ada", "Bo"}, Text: "not fit today."}, {Names: []string{"S1" + glue + "Gil", "S2"}, Text: "it leaks."}}, s.Stops)
	require.Equal(t, []Task{{Names: []string{"Kai" + glue + "S3", "Mia" + glue + "S4"}, Group: "thinning", Level: training.InHearing}}, s.May)
	require.Equal(t, []string{"Ole"}, s.NoSaw)
	require.Equal(t, []string{"Ada", "Bo"}, s.Meanwhile[0].Names)
	require.Equal(t, []string{"Gil"}, s.Meanwhile[1].Names)
}

// Not yet and stopped are never the same word; an answer recorded before findings said what they mean is not yet where only acceptance
// is missing.
func TestWordOf(t *testing.T) {
	stop := hazards.Finding{Effect: hazards.StopSite, Topic: hazards.TopicWeather}
	accept := hazards.Finding{Effect: hazards.StopSite, Topic: hazards.TopicAcceptance}
	for _, c := range []struct {
		a    hazards.Assessment
		want Word
	}{
		{hazards.Assessment{Answer: hazards.Go}, Go},
		{hazards.Assessment{Answer: hazards.GoWithControls}, WithControls},
		{hazards.Assessment{Answer: hazards.Hold, Means: hazards.NotYet}, NotYet},
		{hazards.Assessment{Answer: hazards.Hold, Means: hazards.Stopped}, Stopped},
		{hazards.Assessment{Answer: hazards.Hold, Findings: []hazards.Finding{accept}}, NotYet},
		{hazards.Assessment{Answer: hazards.Hold, Findings: []hazards.Finding{accept, stop}}, Stopped},
		{hazards.Assessment{Answer: hazards.Hold}, Stopped},
	} {
		require.Equal(t, c.want, wordOf(c.a))
	}
}

// The stricter of decision and answer is the word, and the other one is said.
func TestDecisionGoesFirst(t *testing.T) {
	d := &Decision{At: time.Date(2026, 7, 6, 11, 0, 0, 0, time.UTC), By: "p1", What: "rain", Text: "saws off until the rock has dried", Word: Stopped, NotTold: []string{"p2"}}
	names := map[string]string{"p1": "Bruno", "p2": "Rosa"}
	s := Of(hazards.Assessment{Answer: hazards.GoWithControls}, Morning{Decided: d, Name: func(id string) string { return names[id] }})
	require.Equal(t, Stopped, s.Word)
	require.Equal(t, WithControls, s.Computed)
	lines := s.Lines(english(t), Plain, 0)
	require.True(t, strings.HasPrefix(lines[0], "STOPPED"))
	require.Equal(t, "At 11:00 Bruno decided: saws off until the rock has dried.", lines[1])
	require.Contains(t, oneSpace(strings.Join(lines, " ")), "What happened: rain. NOT TOLD YET: Rosa. The answers alone would say: GO WITH CONTROLS.")

	d.Word = Go
	s = Of(hazards.Assessment{Answer: hazards.Hold, Means: hazards.NotYet}, Morning{Decided: d})
	require.Equal(t, NotYet, s.Word, "nobody decides a hold away")
	require.Empty(t, s.Computed)
}

func TestMissedCallGoesFirst(t *testing.T) {
	s := Of(hazards.Assessment{Answer: hazards.Go, Sentence: "No stop found."}, Morning{Missed: []hazards.Missed{{Worker: "Kai", Due: "11:30"}, {Worker: "Mia", Due: "11:30"}}})
	require.Equal(t, Stopped, s.Word)
	require.Equal(t, "No call from Kai, Mia, due at 11:30. Saws off; call, then go and look.", s.Stops[0].Text)
	require.Empty(t, s.Sentence)
}

// House rules in brackets stand behind --why; what else is in brackets stays.
func TestPlain(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"You keep 3m apart; 15m is needed (stand-off, house rule stand-off 15m, edition starter-1 (most cautious read)). Spread out.", "You keep 3m apart; 15m is needed. Spread out."},
		{"the light goes, at the latest at 21:17 (house rule light-margin 30min, edition starter-1)", "the light goes, at the latest at 21:17"},
		{"No first aider today. (not known yet, so it counts; kai finds out by 07:30)", "No first aider today."},
		{"Close the way in (the lower gate).", "Close the way in (the lower gate)."},
	} {
		require.Equal(t, c.want, plain(c.text))
	}
}

func TestHolds(t *testing.T) {
	for _, c := range []struct {
		text, name string
		want       bool
	}{
		{"Adam: not fit", "Ada", false}, {"Ada, Adam: not fit", "Ada", true}, {"Ira-May: not fit", "May", false}, {"call 李雷 now", "李雷", true}, {"nobody", "Bo", false},
	} {
		require.Equal(t, c.want, holds(c.text, c.name), "%q in %q", c.name, c.text)
	}
}

// A name or a decision that somebody entered moves no cursor.
func TestWrittenMovesNoCursor(t *testing.T) {
	s := Of(hazards.Assessment{Answer: hazards.Hold}, Morning{BlockName: "Hazel\x1b[2J\r\u202e", Decided: &Decision{By: "Bo\x07", Text: "all\tto the\ntruck"}})
	for _, l := range s.Lines(english(t), Plain, 0) {
		require.NotRegexp(t, "[\\x00-\\x1f\\x7f\u202e]", l)
	}
}

// Width is counted in cells: a letter may take two or none.
func TestColumnsStandBelowEachOther(t *testing.T) {
	require.Equal(t, []string{"李雷 S1      thinning", "E\u0301tienne S2   light brush"},
		columns([]pair{{"李雷 S1", "thinning"}, {"E\u0301tienne S2", "light brush"}}, 60, false))
}
