package rules

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
)

var byOkafor = Adoption{By: "p1", On: "2026-02-03"}

func TestRowsThatDifferAreTheCompanysOwn(t *testing.T) {
	old := invented()
	j := copied(old).Jurisdictions[1]
	j.Rules[1].Duty = "Do it twice."
	j.Rules = append(j.Rules, Rule{ID: "low-3", Instrument: "Act", Clause: "3", Topic: "ppe", Also: []string{}, Duty: "Wear it.", Reference: "Act s. 3", Read: Verified, ReadOn: "2026-02-01"})
	now, changes := old.With(j, "t-2", byOkafor)
	require.Equal(t, []Change{{"low-2", Changed}, {"low-3", Came}}, changes)
	require.Equal(t, "t-2", now.Edition)
	require.Equal(t, "2026-02-03", now.Compiled, "read up to the day it was adopted")
	require.Empty(t, LintPlace(now, "low"))
	low, _ := now.Find("low")
	require.Nil(t, low.Rules[0].Adopted)
	require.Equal(t, &byOkafor, low.Rules[1].Adopted)
	require.Equal(t, "read in the text, by the company", low.Rules[2].Status())
	require.Equal(t, invented(), old, "the old edition stays as it is")

	later, changes := now.With(low, "t-3", Adoption{By: "p2", On: "2026-03-01"})
	require.Empty(t, changes)
	again, _ := later.Find("low")
	require.Equal(t, &byOkafor, again.Rules[1].Adopted, "a row that says the same stays whose it was")
}

func TestLeftOutRowsAndFloorsAreChanges(t *testing.T) {
	old := floored()
	j := copied(old).Jurisdictions[1]
	j.Rules, j.Floors = j.Rules[:1], nil
	now, changes := old.With(j, "t-2", byOkafor)
	require.Equal(t, []Change{{"low-2", Dropped}, {"floor of stand-off", Dropped}}, changes)
	require.Equal(t, []string{"stand-off: no longer bound, was 12m"}, Loosened(old, now, "low"))
	require.Empty(t, Loosened(now, old, "low"), "a floor that came binds more")
}

func TestANumberThatBindsLessIsTold(t *testing.T) {
	for least, want := range map[string][]string{"12m": nil, "15m": nil, "11m": {"stand-off: 11m, was 12m"}} {
		old := floored()
		j := copied(old).Jurisdictions[1]
		j.Floors = []Floor{old.Jurisdictions[1].Floors[0]}
		j.Floors[0].Least = least
		now, _ := old.With(j, "t-2", byOkafor)
		require.Equal(t, want, Loosened(old, now, "low"), least)
	}
	old := floored()
	j := copied(old).Jurisdictions[1]
	j.Floors = []Floor{old.Jurisdictions[1].Floors[0]}
	j.Floors[0].Kind = house.Advice
	now, _ := old.With(j, "t-2", byOkafor)
	require.Equal(t, []string{"stand-off: no longer bound, was 12m"}, Loosened(old, now, "low"))
}

// Nobody takes a demand that stops people out of the list unseen.
func TestADemandThatAsksLessIsTold(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Rule)
		less   bool
	}{
		"same": {func(*Rule) {}, false}, "more topics": {func(r *Rule) {
			r.Demands = []Demand{{Of: "orientation", Whom: NewOnes, Topics: []string{"hazards", "rules", "ppe"}, Days: 30}}
		}, false},
		"gone": {func(r *Rule) { r.Demands = nil }, true},
		"fewer topics": {func(r *Rule) {
			r.Demands = []Demand{{Of: "orientation", Whom: NewOnes, Topics: []string{"hazards"}, Days: 31}}
		}, true},
		"older": {func(r *Rule) {
			r.Demands = []Demand{{Of: "orientation", Whom: NewOnes, Topics: []string{"hazards", "rules"}, Days: 32}}
		}, true},
		"of others": {func(r *Rule) {
			r.Demands = []Demand{{Of: "orientation", Whom: YoungOnes, Topics: []string{"hazards", "rules"}, Days: 31}}
		}, true},
		"ended":      {func(r *Rule) { r.Ended = "2026-02-01" }, true},
		"remembered": {func(r *Rule) { r.Read, r.ReadOn = Memory, "" }, true},
	} {
		old := invented()
		old.Jurisdictions[1].Rules[0].Demands = []Demand{{Of: "orientation", Whom: NewOnes, Topics: []string{"hazards", "rules"}, Days: 31}}
		j := copied(old).Jurisdictions[1]
		c.change(&j.Rules[0])
		now, _ := old.With(j, "t-2", byOkafor)
		require.Equal(t, c.less, len(Loosened(old, now, "low")) > 0, name)
	}
}

// What is wrong with other places does not stand in the way of one; an id of theirs does.
func TestLintPlaceLooksAtOnePlace(t *testing.T) {
	e := invented()
	e.Jurisdictions[0].Title = ""
	require.Empty(t, LintPlace(e, "low"))
	require.Len(t, LintPlace(e, "high"), 1)
	e.Jurisdictions[1].Aliases = []string{"high"}
	require.Len(t, LintPlace(e, "low"), 1)
}

// Every place of the program's own, written to a file, reads back as it was and is no change.
func TestWrittenPlacesReadBack(t *testing.T) {
	e := starter(t)
	for _, j := range e.Jurisdictions {
		text, err := Write(j)
		require.NoError(t, err)
		back, err := ParsePlace("any name.yaml", text)
		require.NoError(t, err, j.Code)
		require.Equal(t, j, back)
		_, changes := e.With(back, "t-2", byOkafor)
		require.Empty(t, changes)
	}
}

// A file cannot say of itself whose a row is.
func TestAFileCannotSayWhoAdopted(t *testing.T) {
	_, err := ParsePlace("low.yaml", []byte(small+"    adopted: {by: p1, on: 2026-01-01}\n"))
	require.ErrorContains(t, err, "field adopted not found")
}

// Whatever rows are changed, an edition that was adopted comes back from the ledger as it went in, and only those rows are marked.
func TestAdoptedEditionsSurviveTheLedger(t *testing.T) {
	whole := starter(t)
	rapid.Check(t, func(rt *rapid.T) {
		j := copied(whole).Jurisdictions[rapid.IntRange(0, len(whole.Jurisdictions)-1).Draw(rt, "place")]
		want := 0
		for i := range j.Rules {
			if rapid.IntRange(0, 4).Draw(rt, "change") == 0 {
				j.Rules[i].Duty += " And more."
				want++
			}
		}
		now, changes := whole.With(j, "t-2", byOkafor)
		require.Len(rt, changes, want)
		text, err := json.Marshal(now)
		require.NoError(rt, err)
		require.NotContains(rt, string(text), ":null")
		require.Less(rt, len(text), 1<<20)
		var back Edition
		require.NoError(rt, json.Unmarshal(text, &back))
		require.Equal(rt, now, back)
		marked := 0
		for _, p := range back.Jurisdictions {
			for _, r := range p.Rules {
				if r.Adopted != nil {
					marked++
				}
			}
		}
		require.Equal(rt, want, marked)
	})
}
