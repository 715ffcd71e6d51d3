package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// row finds one line of a check that is read again.
func row(t require.TestingT, rows []Answered, id string) Answered {
	var found []Answered
	for _, r := range rows {
		if r.ID == id {
			found = append(found, r)
		}
	}
	require.Len(t, found, 1, id)
	return found[0]
}

// Every question stands there with its answer, who said so and when; the rest is by the hand of who filled in the sheet.
func TestEveryAnswerCanBeReadAgain(t *testing.T) {
	in := easyMorning(t)
	in.reading(map[string]string{FireClass: "low", FireClassAt: "06:10", FireClassBy: "agency page"})
	in.answer(Wires, Said{Is: No, Who: "rosa", At: "06:30"})
	in.answer(Public, dontKnow)
	in.Sheet.Crew[1].WatchedBy = "okafor"
	rows := ReadAgain(in.Sheet, nil, nil)
	for _, q := range append(Questions(), Readings()...) {
		r := row(t, rows, q.ID)
		require.Equal(t, []string{q.Section, q.Text, ""}, []string{r.Section, r.Question, r.As})
		require.Empty(t, r.Since)
	}
	for id, want := range map[string][3]string{
		FirstAider: {"okafor", "okafor", "06:52"}, CallAnswered: {"06:20", "okafor", "06:52"}, Wires: {"no", "rosa", "06:30"}, Public: {"don't know yet - luis by 07:30", "okafor", "06:52"},
		FireClass: {"low", "okafor", "06:52"}, FireClassBy: {"agency page", "okafor", "06:52"}, Temperature: {"", "", ""}, "coordinates": {"54.7102, -124.9210", "okafor", "06:52"},
		"luis": {"unsupervised, light-brush, saw S11, watched by okafor", "okafor", "06:52"}, "luis fit": {"yes", "okafor", "06:52"}, "S12 guard": {"yes", "okafor", "06:52"}, "started": {"", "", ""},
	} {
		r := row(t, rows, id)
		require.Equal(t, want, [3]string{r.Answer, r.By, r.At}, id)
	}
}

// A stable answer that is as it was on the sheet before says so; what is asked afresh every day never does, nor what changed.
func TestWhatStandsAsBefore(t *testing.T) {
	in := easyMorning(t)
	before := easyMorning(t).Sheet
	before.Day, before.At = "2026-05-03", "06:40"
	in.answer("hidden-base", Said{Is: Yes})
	rows := ReadAgain(in.Sheet, &before, nil)
	require.Equal(t, "2026-05-03 06:40", row(t, rows, "steepest-slope").As)
	require.Empty(t, row(t, rows, "hidden-base").As, "another answer")
	require.Empty(t, row(t, rows, Wires).As, "asked afresh")
	before.BlockEdition--
	require.Empty(t, row(t, ReadAgain(in.Sheet, &before, nil), "steepest-slope").As, "another card")
}

// What the day changed stands beside what was answered, with who and when; who came and who left too.
func TestChangesStandBesideTheAnswers(t *testing.T) {
	in := easyMorning(t)
	guard, err := ParseSawCheck("S12", SawGuard, "no")
	require.NoError(t, err)
	changes := []Change{
		{At: "09:10", By: "luis", Answers: []Answer{{WindForce, told("5")}, {Gusts, told("40km/h")}}, Arrived: []string{"ben"}},
		{At: "11:00", By: "okafor", Answers: []Answer{{WindForce, told("3")}}, Left: []string{"rosa"}, Unwell: []string{"luis"}, Checks: []SawCheck{guard}},
	}
	rows := ReadAgain(in.Sheet, nil, changes)
	told := func(id string) (list [][3]string) {
		for _, s := range row(t, rows, id).Since {
			list = append(list, [3]string{s.Answer, s.By, s.At})
		}
		return list
	}
	require.Equal(t, "2", row(t, rows, WindForce).Answer)
	require.Equal(t, [][3]string{{"5", "luis", "09:10"}, {"3", "okafor", "11:00"}}, told(WindForce))
	require.Empty(t, row(t, rows, Gusts).Answer)
	require.Equal(t, [][3]string{{"40km/h", "luis", "09:10"}}, told(Gusts))
	require.Equal(t, [][3]string{{"no saw", "luis", "09:10"}}, told("ben"))
	require.Equal(t, [][3]string{{"", "okafor", "11:00"}}, told("rosa"))
	require.Equal(t, [][3]string{{"no", "okafor", "11:00"}}, told("luis fit"))
	require.Equal(t, [][3]string{{"no", "okafor", "11:00"}}, told("S12 guard"))
	require.Empty(t, told(Wires))
}

// Whatever is on a sheet is read again: no answer is lost, whoever changed what.
func TestNothingIsLostWhenReadAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t)
		rows := ReadAgain(s, nil, nil)
		for _, a := range append(append([]Answer{}, s.Answers...), s.Readings...) {
			r := row(t, rows, a.Question)
			require.Equal(t, a.Carried().String(), r.Answer)
			if a.At != "" {
				require.Equal(t, []string{a.Who, a.At}, []string{r.By, r.At})
			}
		}
		changed := rapid.SampledFrom(s.Answers).Draw(t, "changed")
		after := ReadAgain(s, nil, []Change{{At: "12:00", By: "somebody", Answers: []Answer{{changed.Question, Said{Is: "another answer"}}}}})
		require.Len(t, after, len(rows))
		require.Equal(t, "another answer", row(t, after, changed.Question).Since[0].Answer)
	})
}
