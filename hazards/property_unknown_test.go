package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/fire"
)

// instruments are readings that only an instrument gives: whoever does not know them yet names who finds out, and the answer ends then.
var instruments = map[string]bool{Temperature: true, Humidity: true, WBGT: true}

// drawDay is the clean morning: as it is but for a few answers, or with any others; with controls on some of them.
func drawDay(t *rapid.T, base Input) Input {
	if rapid.Bool().Draw(t, "any") {
		return drawMorning(t, base)
	}
	in := base
	in.Sheet = copied(in.Sheet)
	all := append(Questions(), Readings()...)
	for range rapid.IntRange(0, 3).Draw(t, "differ") {
		q := rapid.SampledFrom(all).Draw(t, "question")
		in.Sheet.answer(Answer{q.ID, drawKnown(t, q, in)})
	}
	for range rapid.IntRange(0, 3).Draw(t, "controls") {
		c := drawControl(t)
		in.control(c.For, c.Kind, c.What, "hand1")
	}
	return in
}

// drawKnown draws an answer that somebody knows.
func drawKnown(t *rapid.T, q Question, in Input) Said {
	switch {
	case q.ID == FireClass:
		return told(rapid.SampledFrom(fire.ClassNames()).Draw(t, "class"))
	case q.ID == TallestStem:
		return told(in.Block.TreeHeight)
	case q.NA && rapid.Bool().Draw(t, "na"):
		return Said{Is: NotApplicable}
	case q.Kind == YesNo || (q.None && rapid.Bool().Draw(t, "none")):
		return Said{Is: rapid.SampledFrom([]string{Yes, No}).Draw(t, "yes")}
	case len(q.Coarse) > 0 && rapid.Bool().Draw(t, "coarse"):
		return told(rapid.SampledFrom(q.Coarse).Draw(t, "word").Word)
	case q.Kind == Clock:
		return told("06:10")
	case q.Kind == Person:
		return told(rapid.SampledFrom([]string{"boss", "aid", "hand1"}).Draw(t, "who"))
	case q.Kind == Words:
		return told("as agreed")
	}
	return told(drawQuantity(t, q))
}

func drawQuantity(t *rapid.T, q Question) string {
	unit, most := map[string]string{"slope": "%", "length": "m", "time": "min", "volume": "L", "speed": "km/h", "temperature": "C", "share": "%", "count": ""}[string(q.Of)], 60
	if q.Of == "count" {
		most = mostForce
	}
	n := rapid.IntRange(1, most).Draw(t, "n")
	if q.ID == Temperature {
		n -= 40
	}
	if q.Of == "length" && q.Max <= maxStem {
		unit = "cm"
	}
	return itoa(n) + unit
}

// Over every question: not knowing yet is never milder than knowing, whatever was known. A measured number that somebody finds out may
// be worse than feared; then at least a control is asked and the answer ends when it should be known.
func TestNotKnowingIsNeverMilder(t *testing.T) {
	base, all, mattered := cleanMorning(t), append(Questions(), Readings()...), map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		day := drawDay(t, base)
		for range 12 {
			q := rapid.SampledFrom(all).Draw(t, "asked")
			if neverMilder(t, day, q, drawKnown(t, q, day)) {
				mattered[q.ID] = true
			}
		}
	})
	require.Greater(t, len(mattered), 20, "not knowing makes an answer stricter: %v", mattered)
}

func TestNotKnowingIsNeverMilderOnTheCleanMorning(t *testing.T) {
	base, checked := cleanMorning(t), 0
	for _, q := range append(Questions(), Readings()...) {
		for _, said := range everyAnswer(base, q) {
			checked++
			neverMilder(t, base, q, said)
		}
	}
	require.Greater(t, checked, 150)
}

// everyAnswer lists what could be answered: every word, and of numbers some over the whole range.
func everyAnswer(in Input, q Question) []Said {
	out := []Said{}
	if q.NA {
		out = append(out, Said{Is: NotApplicable})
	}
	if q.None {
		out = append(out, Said{Is: No})
	}
	for _, w := range q.Coarse {
		out = append(out, told(w.Word))
	}
	switch {
	case q.Kind == YesNo:
		return append(out, Said{Is: Yes}, Said{Is: No})
	case q.ID == TallestStem:
		return append(out, told(in.Block.TreeHeight))
	case q.ID == FireClass:
		for _, c := range fire.ClassNames() {
			out = append(out, told(c))
		}
	case q.Kind == Clock:
		return append(out, told("05:00"), told("06:35"), told("12:00"))
	case q.Kind == Person:
		return append(out, told("boss"), told("aid"), told("hand1"), told("somebody"))
	case q.Kind == Words:
		return append(out, told("as agreed"))
	default:
		unit := map[string]string{"slope": "%", "length": "m", "time": "s", "volume": "L", "speed": "m/s", "temperature": "C", "share": "%"}[string(q.Of)]
		for _, part := range []float64{0, 0.01, 0.05, 0.1, 0.3, 0.6, 1} {
			out = append(out, told(number(q.Min+part*(q.Max-q.Min), 3)+unit))
		}
	}
	return out
}

// neverMilder compares a day with what is known of one question and without it; stricter reports whether not knowing was.
func neverMilder(t require.TestingT, day Input, q Question, said Said) (stricter bool) {
	known, unknown := day, day
	day.Sheet = withoutControlOn(day.Sheet, q.ID)
	known.Sheet, unknown.Sheet = copied(day.Sheet), copied(day.Sheet)
	known.Sheet.answer(Answer{q.ID, said})
	unknown.Sheet.answer(Answer{q.ID, Said{Is: DontKnow, Who: "boss", By: "07:30"}})
	was, is := Assess(known), Assess(unknown)
	switch {
	case !instruments[q.ID]:
		require.GreaterOrEqual(t, verdictRank[is.Answer], verdictRank[was.Answer], "%s: %v\n%s\n%s", q.ID, said, linesOf(was), linesOf(is))
	case q.ID != Humidity: // of mild air nobody needs the humidity
		require.GreaterOrEqual(t, verdictRank[is.Answer], verdictRank[GoWithControls], q.ID)
		require.LessOrEqual(t, is.Ends, "07:30", q.ID)
	}
	return verdictRank[is.Answer] > verdictRank[was.Answer]
}

func copied(s Sheet) Sheet {
	s.Answers, s.Readings = append([]Answer(nil), s.Answers...), append([]Answer(nil), s.Readings...)
	return s
}

// A way out left blank is the walk of the card: the same answer, and the same effect, as when it is typed.
func TestABlankWayOutIsTheCards(t *testing.T) {
	base := cleanMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		blank := drawMorning(t, base)
		blank.unsay(WalkOut)
		blank.unsay(WalkClimb)
		minutes := rapid.IntRange(1, 200).Draw(t, "minutes")
		blank.Block.Walk = itoa(minutes) + "min"
		typed := blank
		typed.Sheet = copied(typed.Sheet)
		typed.Sheet.answer(Answer{WalkOut, told(number(float64(minutes)*84, 0) + "m")}) // 5.04 km/h on the flat (Tobler)
		was, is := Assess(typed), Assess(blank)
		require.Equal(t, was.Answer, is.Answer)
		require.Equal(t, oneFindingIn(was, WalkOut).Effect, oneFindingIn(is, WalkOut).Effect)
	})
}

// What is worn or told about turns no hold into a go, whatever it is named for.
func TestTalkTurnsNoHold(t *testing.T) {
	base := cleanMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawDay(t, base)
		var kept []Control
		for _, c := range in.Sheet.Controls {
			if !c.Kind.Talk() {
				kept = append(kept, c)
			}
		}
		without := in
		without.Sheet.Controls = kept
		require.Equal(t, verdictRank[Assess(without).Answer], verdictRank[Assess(in).Answer])
	})
}

// withoutControlOn leaves out controls on what is asked: nobody names one for what is not there, and a control that is named for
// something else than what is there would count for it.
func withoutControlOn(s Sheet, question string) Sheet {
	var kept []Control
	for _, c := range s.Controls {
		if c.For != question {
			kept = append(kept, c)
		}
	}
	s.Controls = kept
	return s
}
