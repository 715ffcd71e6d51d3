package rules

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The ten things that orientation of young and new workers takes in by B.C. Reg. 296/97, 3.23(2)(a)-(j), read on 2026-11-30 in a
// reproduced guideline of 2007 that quotes the section, each as somebody might write it down, in the section's order.
var tenOfBC = []struct{ id, written string }{
	{"supervisor", "the supervisor's name and radio call"}, {"rights", "rights and duties, right to refuse"}, {"rules", "site rules"},
	{"hazards", "hazards of this ground"}, {"alone", "working alone"}, {"violence", "violence at work"}, {"ppe", "protective equipment"},
	{"first-aid", "first aid and how to report"}, {"emergency", "emergency steps"}, {"task", "the task, shown and tried"},
}

// The six elements of training of 29 CFR 1910.266(i)(3)(i)-(vi), read on 2026-11-30 in a copy of the agency's page.
var sixOfUS = []string{"task", "tools", "hazards", "industry", "rules", "standard"}

func ruleOf(t *testing.T, id string) Rule {
	t.Helper()
	r, _, ok := starter(t).Rule(id)
	require.True(t, ok, id)
	return r
}

func oriented(topics ...string) Held {
	return Held{Of: "orientation", Entry: "12", Topics: topics, Fields: []string{ByWhom, When, Language, Understood}}
}

// missed lists the topics that a cover misses.
func missed(c Cover) []string {
	var out []string
	for _, m := range c.Missing {
		if m.Kind == Topic {
			out = append(out, m.What)
		}
	}
	return out
}

func TestEachOfTheTenTopicsIsNamedWhenItIsMissing(t *testing.T) {
	r := ruleOf(t, "bc-ohsr-3.23-2-a-j")
	var written []string
	for _, ten := range tenOfBC {
		written = append(written, ten.written)
	}
	judge := func(topics ...string) Cover {
		return CoverBy(r, []Person{{ID: "ana", New: true, Held: []Held{oriented(topics...)}}}, nil)
	}
	whole := judge(written...)
	require.Equal(t, Holds, whole.Holds, "%v", whole.Missing)
	require.Equal(t, []string{"12"}, whole.Entries)
	for i, ten := range tenOfBC {
		c := judge(slices.Delete(slices.Clone(written), i, i+1)...)
		require.Equal(t, HoldsPart, c.Holds, ten.id)
		require.Equal(t, []Missing{{Of: "orientation", Kind: Topic, What: ten.id, Who: []string{"ana"}}}, c.Missing)
	}
}

// Mornings of a crew wrote these five down; they are two of the ten, not ten.
func TestAnOrientationOfFewTopicsIsPartHeld(t *testing.T) {
	held := []Held{oriented("supervisor", "hazards", "wires", "meeting point", "radio call")}
	c := CoverBy(ruleOf(t, "bc-ohsr-3.23-2-a-j"), []Person{{ID: "ana", New: true, Held: held}, {ID: "ben", Held: nil}, {ID: "cai", Young: true}}, nil)
	require.Equal(t, HoldsPart, c.Holds)
	require.Equal(t, []string{"rights", "rules", "alone", "violence", "ppe", "first-aid", "emergency", "task", "supervisor", "hazards"}, missed(c))
	for _, m := range c.Missing {
		require.NotContains(t, m.Who, "ben", "neither new nor young")
		require.Contains(t, m.Who, "cai", "young, and never oriented")
	}
}

func TestTheSixElementsAreEachADuty(t *testing.T) {
	for i, id := range []string{"i", "ii", "iii", "iv", "v", "vi"} {
		r := ruleOf(t, "us-1910.266-i-3-"+id)
		require.Equal(t, []string{sixOfUS[i]}, r.Demands[0].Topics)
		ana := Person{ID: "ana", Held: []Held{{Of: "taught", Entry: "7", Topics: []string{"where to park"}}}}
		require.Equal(t, []string{sixOfUS[i]}, missed(CoverBy(r, []Person{ana}, nil)))
		ana.Held[0].Topics = append(ana.Held[0].Topics, sixOfUS[i])
		require.Equal(t, Holds, CoverBy(r, []Person{ana}, nil).Holds)
	}
}

// 29 CFR 1910.266(i)(7), (9) and (10): what a ticket and a record of teaching must say; B.C. Reg. 296/97 4.21: the interval, who calls,
// what is done at a missed call, and a check when the shift ends.
func TestFieldsOfARecordAreLookedAt(t *testing.T) {
	for id, c := range map[string]struct {
		held   Held
		fields []string
	}{
		"us-1910.266-i-7":     {Held{Of: "ticket", Topics: []string{"first-aid", "cpr"}}, []string{Document, Until}},
		"us-1910.266-i-9":     {Held{Of: "attendance"}, []string{Language, Understood}},
		"us-1910.266-i-10":    {Held{Of: "attendance"}, []string{ByWhom, When, Signed}},
		"bc-ohsr-3.25":        {Held{Of: "orientation"}, []string{ByWhom, When}},
		"bc-ohsr-4.20.1-4.21": {Held{Of: CallsArranged}, []string{Interval, Contact, MissedCall}},
	} {
		d := ruleOf(t, id).Demands[0]
		require.Equal(t, c.held.Of, d.Of, id)
		c.held.Fields = c.fields
		missing, _ := d.missing([]Held{c.held})
		require.Empty(t, missing, id)
		for i, f := range c.fields {
			c.held.Fields = slices.Delete(slices.Clone(c.fields), i, i+1)
			missing, _ := d.missing([]Held{c.held})
			require.Equal(t, []Missing{{Of: c.held.Of, Kind: Field, What: f}}, missing, id)
		}
	}
	require.Equal(t, []string{ByWhom, When}, ruleOf(t, "bc-ohsr-4.20.1-4.21").Demands[1].Fields, "results are recorded")
	require.Equal(t, []string{EndOfShift}, ruleOf(t, "bc-ohsr-4.21-end").Demands[0].Fields)
}

func TestNobodyItConcerns(t *testing.T) {
	people := []Person{{ID: "ben"}}
	require.Equal(t, NoneThere, CoverBy(ruleOf(t, "bc-ohsr-3.23-2-a-j"), people, nil).Holds)
	require.Equal(t, NoneThere, CoverBy(ruleOf(t, "bc-ohsr-4.20.1-4.21"), people, nil).Holds)
	people[0].Alone = true
	require.Equal(t, HoldsNone, CoverBy(ruleOf(t, "bc-ohsr-4.20.1-4.21"), people, nil).Holds)
	require.Equal(t, CannotTell, CoverBy(ruleOf(t, "bc-ohsr-3.19"), people, nil).Holds)
}

func TestATicketThatHasRunOutIsNotHeld(t *testing.T) {
	wa := ruleOf(t, "us-wa-296-54-51520")
	held := Held{Of: "ticket", Entry: "9", Topics: []string{"first-aid"}, Fields: []string{Until}}
	cpr := Held{Of: "ticket", Entry: "10", Topics: []string{"cpr"}, Fields: []string{Until}}
	ana := Person{ID: "ana", Held: []Held{held, cpr}}
	require.Equal(t, Holds, CoverBy(wa, []Person{ana}, nil).Holds)
	ana.Held[0].Ended = true
	require.Equal(t, []string{"first-aid"}, missed(CoverBy(wa, []Person{ana}, nil)))
}

// A monthly meeting of last season is not this month's (1910.266(i)(11)).
func TestARecordMayBeTooOld(t *testing.T) {
	r := ruleOf(t, "us-1910.266-i-11")
	ana := Person{ID: "ana", Held: []Held{{Of: "tailgate", Entry: "9", Age: 31}}}
	require.Equal(t, Holds, CoverBy(r, []Person{ana}, nil).Holds)
	ana.Held[0].Age = 32
	c := CoverBy(r, []Person{ana}, nil)
	require.Equal(t, HoldsPart, c.Holds)
	require.Equal(t, Old, c.Missing[0].Kind)
}

// One first aider is enough where the clause asks for some.
func TestSomebodyIsEnough(t *testing.T) {
	r := ruleOf(t, "nb-2004-130-4")
	people := []Person{{ID: "ana"}, {ID: "ben", Held: []Held{{Of: "ticket", Entry: "9", Topics: []string{"first-aid"}, Fields: []string{Until}}}}}
	require.Equal(t, Holds, CoverBy(r, people, nil).Holds)
	require.Equal(t, HoldsNone, CoverBy(r, people[:1], nil).Holds)
}

// Editions from before demands are counted as they were: a record of each kind for everybody.
func TestARuleWithoutDemandsIsCounted(t *testing.T) {
	r := Rule{ID: "x", Kept: []string{"orientation", "ticket"}}
	ana := Person{ID: "ana", Held: []Held{oriented("x")}}
	require.Equal(t, HoldsPart, CoverBy(r, []Person{ana}, nil).Holds)
	ana.Held = append(ana.Held, Held{Of: "ticket"})
	require.Equal(t, Holds, CoverBy(r, []Person{ana}, nil).Holds)
	ben := Person{ID: "ben"}
	c := CoverBy(r, []Person{ana, ben}, nil)
	require.Equal(t, HoldsPart, c.Holds)
	require.Equal(t, []string{"ben"}, c.Missing[0].Who)
	require.Equal(t, "no orientation on record", c.Missing[0].Words())
}

func TestCoversReadsWholeWords(t *testing.T) {
	for written, want := range map[string][]string{
		"Supervisor: Okafor, radio 5": {"supervisor"}, "meeting point": nil, "wires": nil, "standalone radio": nil, "PPE": {"ppe"},
		"first-aid kit": {"first-aid"}, "Working alone": {"alone"}, "rights & rules": {"rights", "rules"}, "": nil, "taskforce": nil,
	} {
		require.Equal(t, want, Covers([]string{written}), written)
	}
}

// The words for a topic are among those by which it is known, so that a record may be written in them.
func TestTheWordsOfATopicStandForIt(t *testing.T) {
	for _, c := range Covering {
		require.Contains(t, Covers([]string{c.Words}), c.ID)
		require.Contains(t, Covers([]string{c.ID}), c.ID)
	}
}

// More records never hold less, and whoever is named as missing something is somebody whom the duty concerns.
func TestMoreRecordsNeverHoldLess(t *testing.T) {
	order := map[string]int{CannotTell: 0, NoneThere: 0, HoldsNone: 1, HoldsPart: 2, Holds: 3}
	duties := starter(t)
	var asking []Rule
	for _, j := range duties.Jurisdictions {
		for _, r := range j.Rules {
			if len(r.Demands) > 0 {
				asking = append(asking, r)
			}
		}
	}
	require.Greater(t, len(asking), 25)
	all := make([]string, len(Fields))
	for i, f := range Fields {
		all[i] = f.ID
	}
	rapid.Check(t, func(rt *rapid.T) {
		r := rapid.SampledFrom(asking).Draw(rt, "rule")
		record := func(label string) Held {
			return Held{Of: rapid.SampledFrom(append(slices.Clone(Records), CrewRecords...)).Draw(rt, label), Entry: label, Fields: all,
				Topics: rapid.SliceOf(rapid.SampledFrom(append(CoveringIDs(), "cpr", "wires"))).Draw(rt, label+" topics")}
		}
		ana := Person{ID: "ana", New: rapid.Bool().Draw(rt, "new"), Young: rapid.Bool().Draw(rt, "young"), Alone: rapid.Bool().Draw(rt, "alone")}
		for range rapid.IntRange(0, 4).Draw(rt, "records") {
			ana.Held = append(ana.Held, record("held"))
		}
		before := CoverBy(r, []Person{ana}, nil)
		ana.Held = append(ana.Held, record("more"))
		after := CoverBy(r, []Person{ana}, nil)
		require.GreaterOrEqual(rt, order[after.Holds], order[before.Holds])
		for _, m := range before.Missing {
			for _, who := range m.Who {
				require.Equal(rt, "ana", who)
			}
		}
		require.Equal(rt, before.Holds == Holds || before.Holds == NoneThere, len(before.Missing) == 0)
	})
}

func TestLintFindsFaultsOfDemands(t *testing.T) {
	for name, c := range map[string]struct {
		demand Demand
		want   string
	}{
		"record": {Demand{Of: "orientaton", Whom: Everybody}, `record "orientaton" is not known; nearest: orientation`},
		"whom":   {Demand{Of: "orientation", Whom: "newcomers"}, `whom it concerns "newcomers" is not known`},
		"topic":  {Demand{Of: "orientation", Whom: Everybody, Topics: []string{"hazard"}}, `topic "hazard" is not known; nearest: hazards`},
		"field":  {Demand{Of: "orientation", Whom: Everybody, Fields: []string{"langauge"}}, `field "langauge" is not known; nearest: language`},
		"days":   {Demand{Of: "orientation", Whom: Everybody, Days: -1}, `-1 days is less than none`},
	} {
		e := invented()
		e.Jurisdictions[1].Rules[0].Demands = []Demand{c.demand}
		found := Lint(e)
		require.Len(t, found, 1, name)
		require.ErrorContains(t, found[0], c.want, name)
	}
	e := invented()
	e.Jurisdictions[1].Rules[0].Demands = []Demand{{Of: "ticket", Whom: Everybody, Topics: []string{"driving"}}, {Of: "ticket", Whom: Everybody}}
	require.Len(t, Lint(e), 1)
	require.ErrorContains(t, Lint(e)[0], "ticket of everybody is asked for twice")
}
