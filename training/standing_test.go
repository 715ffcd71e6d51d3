package training_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// The words of the tests below: facts are made by met(1, "2026-05-05"), the number being the entry. A day without a
// time is noon, as in the book; facts are recorded when they happen unless told otherwise.

func fact(entry int, at string, kind training.FactKind, code uint8, cites ...int) training.Fact {
	layout := "2006-01-02T15:04"
	if len(at) == len(civil.Layout) {
		at += "T12:00"
	}
	moment, err := time.Parse(layout, at)
	if err != nil {
		return training.Fact{}
	}
	f := training.Fact{Entry: training.Ref(entry), Kind: kind, Code: code, By: 1, Day: civil.Of(moment, time.UTC), Until: civil.None, At: moment.Unix(), Recorded: moment.Unix()}
	for _, c := range cites {
		f.Cites = append(f.Cites, training.Ref(c))
	}
	return f
}

func look(entry int, at string, o training.Outcome) training.Fact {
	return fact(entry, at, training.FactObservation, uint8(o))
}
func met(entry int, at string) training.Fact { return look(entry, at, training.OutcomeMet) }
func announced(f training.Fact) training.Fact {
	f.Code |= training.Announced
	return f
}
func sign(entry int, at, until string, cites ...int) training.Fact {
	f := fact(entry, at, training.FactSignOff, 0, cites...)
	f.Until, _ = civil.Parse(until)
	return f
}
func restrict(entry int, at string) training.Fact {
	return fact(entry, at, training.FactRestriction, 0)
}
func withdraw(entry int, at string) training.Fact { return fact(entry, at, training.FactWithdrawal, 0) }
func lift(entry int, at string, on int) training.Fact {
	return fact(entry, at, training.FactLift, 0, on)
}
func join(at string) training.Fact { return fact(900, at+"T07:00", training.FactUse, 0) }
func by(who uint32, f training.Fact) training.Fact {
	f.By = who
	return f
}
func struck(f training.Fact) training.Fact {
	f.Struck = true
	return f
}
func void(f training.Fact) training.Fact {
	f.Void = true
	return f
}
func recorded(f training.Fact, at string) training.Fact {
	f.Recorded = fact(0, at, 0, 0).At
	return f
}

var (
	critical  = training.Skill{ID: "7.1", Critical: true}
	simple    = training.Skill{ID: "1.4"}
	drilled   = training.Skill{ID: "12.4", Emergency: true}
	emergency = training.Skill{ID: "12.1", Critical: true, Emergency: true}
)

// three are the looks a critical skill needs; signed adds the sign-off on them, of 10 May 2026.
func three() []training.Fact {
	return []training.Fact{met(1, "2026-05-05"), announced(met(2, "2026-05-08")), announced(met(3, "2026-05-10T09:00"))}
}

func signed(more ...training.Fact) []training.Fact {
	return append(append(three(), sign(4, "2026-05-10", "2027-05-10", 1, 2, 3)), more...)
}

func facts(f ...training.Fact) []training.Fact { return f }

func day(t *testing.T, s string) civil.Day {
	t.Helper()
	d, err := civil.Parse(s)
	require.NoError(t, err)
	return d
}

// on asks at the end of a day, with all that is known.
func on(t *testing.T, s string) training.Asked {
	return endOfDay(day(t, s), day(t, "2040-01-01"))
}

func texts(reasons []training.Reason) []string {
	var list []string
	for _, r := range reasons {
		list = append(list, r.Text)
	}
	return list
}

// Each case is a trap of the season walked through before the first line of code, or a boundary of a rule. until "" is
// never; reasons nil are not looked at.
func TestStandingWithDates(t *testing.T) {
	for _, c := range []struct {
		name    string
		skill   training.Skill
		facts   []training.Fact
		joins   []string
		on      string
		word    training.Word
		until   string
		reasons []string
	}{
		{name: "nothing known", skill: critical, on: "2026-05-04", word: training.UnderTraining,
			reasons: []string{"0 of 3 met observations", "on 0 of 2 days", "none unannounced"}},
		{name: "evidence complete, nobody has decided: until the skill was not used for too long", skill: critical, facts: three(), on: "2026-05-10", word: training.ToDecide, until: "2026-08-08",
			reasons: []string{"met on 2026-05-05, unannounced", "met on 2026-05-08, announced", "met on 2026-05-10, announced"}},
		{name: "one look is enough for another skill", skill: simple, facts: facts(announced(met(1, "2026-05-05"))), on: "2026-05-05", word: training.ToDecide, until: "2026-08-03"},
		{name: "an emergency skill waits for a decision until its looks are too old", skill: emergency, facts: three(), on: "2026-05-10", word: training.ToDecide, until: "2027-05-05"},
		{name: "who was away too long has nothing to decide on", skill: critical, facts: three(), on: "2026-08-08", word: training.UnderTraining,
			reasons: []string{"last used on 2026-05-10, 90 days ago or more; a met return look comes first"}},
		{name: "a join with a saw already known makes it to decide again", skill: critical, facts: three(), joins: []string{"2026-09-01"}, on: "2026-08-08", word: training.UnderTraining, until: "2026-09-01"},
		{name: "and it is that day", skill: critical, facts: three(), joins: []string{"2026-09-01"}, on: "2026-09-01", word: training.ToDecide, until: "2026-11-30"},
		{name: "signed off", skill: critical, facts: signed(), on: "2026-05-10", word: training.SignedOff, until: "2026-08-08",
			reasons: []string{"signed off on 2026-05-10, until 2027-05-10", "last used on 2026-05-10; 90 days away from the saw end it on 2026-08-08"}},

		{name: "restriction deadlock: a miss restricts", skill: critical, facts: signed(look(5, "2026-07-14", training.CriticalMissed)), on: "2026-07-14", word: training.Restricted,
			reasons: []string{"a critical criterion was missed on 2026-07-14", "only a lift that names a later met look lets practice resume"}},
		{name: "restriction deadlock: a met look alone does not open it", skill: critical, facts: signed(look(5, "2026-07-14", training.CriticalMissed), met(6, "2026-07-16")), on: "2026-07-20", word: training.Restricted,
			reasons: []string{"a critical criterion was missed on 2026-07-14", "met again on 2026-07-16; a lift that names this look may follow"}},
		{name: "restricted for ever", skill: critical, facts: signed(restrict(5, "2026-07-14")), on: "2029-07-14", word: training.Restricted,
			reasons: []string{"restricted on 2026-07-14", "only a lift that names a later met look lets practice resume"}},
		{name: "one-look revival: a lift does not give the sign-off back", skill: critical,
			facts: signed(look(5, "2026-07-14", training.CriticalMissed), met(6, "2026-07-16"), lift(7, "2026-07-16T15:00", 6)), on: "2026-07-16", word: training.UnderTraining,
			reasons: []string{"the restriction was lifted on 2026-07-16; the level comes back with a new sign-off",
				"1 of 3 met observations since the miss on 2026-07-14", "on 1 of 2 days"}},
		{name: "one-look revival: looks before the miss are out of count", skill: critical,
			facts: signed(look(5, "2026-07-14", training.CriticalMissed), met(6, "2026-07-16"), lift(7, "2026-07-16T15:00", 6), announced(met(8, "2026-07-17"))), on: "2026-07-17", word: training.UnderTraining,
			reasons: []string{"the restriction was lifted on 2026-07-16; the level comes back with a new sign-off", "2 of 3 met observations since the miss on 2026-07-14"}},
		{name: "one-look revival: a new sign-off gives it back", skill: critical,
			facts: signed(look(5, "2026-07-14", training.CriticalMissed), met(6, "2026-07-16"), lift(7, "2026-07-16T15:00", 6), met(8, "2026-07-17"), met(9, "2026-07-18"),
				sign(10, "2026-07-18", "2027-07-18", 6, 8, 9)), on: "2026-07-18", word: training.SignedOff, until: "2026-10-16"},
		{name: "a sign-off made in ignorance of the restriction gives nothing back when it is lifted", skill: critical,
			facts: append(three(), restrict(20, "2026-05-09T18:00"), sign(4, "2026-05-10", "2027-05-10", 1, 2, 3), met(21, "2026-05-12"), lift(22, "2026-05-13", 21)), on: "2026-05-13", word: training.UnderTraining,
			reasons: []string{"the sign-off of 2026-05-10 no longer counts: the skill was restricted then", "the restriction was lifted on 2026-05-13; the level comes back with a new sign-off",
				"2 of 3 met observations since the restriction on 2026-05-09"}},
		{name: "nor one on looks from before a restriction lifted since", skill: critical,
			facts: append(three(), restrict(20, "2026-05-08T18:00"), lift(22, "2026-05-10T10:00", 3), sign(4, "2026-05-10", "2027-05-10", 1, 2, 3)), on: "2026-05-13", word: training.UnderTraining,
			reasons: []string{"the sign-off of 2026-05-10 no longer counts: it names a look from before the restriction on 2026-05-08", "the restriction was lifted on 2026-05-10; the level comes back with a new sign-off",
				"1 of 3 met observations since the restriction on 2026-05-08", "on 1 of 2 days", "none unannounced"}},
		{name: "nor one on a look at the second of the restriction", skill: simple,
			facts: facts(met(1, "2026-05-05"), restrict(2, "2026-05-05"), met(3, "2026-05-06"), lift(4, "2026-05-07", 3), sign(5, "2026-05-08", "2027-05-08", 1)), on: "2026-05-08", word: training.ToDecide, until: "2026-08-04"},
		{name: "a lift that names a look before the miss lifts nothing", skill: critical, facts: signed(look(5, "2026-07-14", training.CriticalMissed), lift(7, "2026-07-16", 3)), on: "2026-07-16", word: training.Restricted},
		{name: "a lift that names a look after the lift lifts nothing", skill: critical, facts: signed(restrict(5, "2026-07-14"), lift(6, "2026-07-15", 7), met(7, "2026-07-16")), on: "2026-07-16", word: training.Restricted},
		{name: "a lift that names a look not met lifts nothing", skill: critical, facts: signed(restrict(5, "2026-07-14"), look(6, "2026-07-15", training.NotMet), lift(7, "2026-07-16", 6)), on: "2026-07-16", word: training.Restricted},
		{name: "a lift closes only what was open before its look", skill: critical,
			facts: signed(restrict(5, "2026-07-14"), met(6, "2026-07-15"), look(7, "2026-07-16", training.CriticalMissed), lift(8, "2026-07-17", 6)), on: "2026-07-17", word: training.Restricted,
			reasons: []string{"a critical criterion was missed on 2026-07-16", "only a lift that names a later met look lets practice resume"}},
		{name: "a lift of nothing says nothing", skill: critical, facts: facts(met(1, "2026-05-05"), lift(2, "2026-05-06", 1)), on: "2026-05-06", word: training.UnderTraining,
			reasons: []string{"1 of 3 met observations", "on 1 of 2 days"}},
		{name: "a lift whose look was struck no longer counts", skill: critical, facts: facts(restrict(1, "2026-07-14"), struck(met(2, "2026-07-15")), void(lift(3, "2026-07-16", 2))), on: "2026-07-16", word: training.Restricted,
			reasons: []string{"restricted on 2026-07-14", "the lift of 2026-07-16 no longer counts: the look it names was struck", "only a lift that names a later met look lets practice resume"}},

		{name: "strike is no lift by the back door", skill: critical, facts: signed(struck(look(5, "2026-07-14", training.CriticalMissed))), on: "2026-07-15", word: training.Restricted,
			reasons: []string{"a critical criterion was missed on 2026-07-14; the look is struck, what it restricted is not", "only a lift that names a later met look lets practice resume"}},
		{name: "a restriction by hand that is struck never was", skill: critical, facts: signed(struck(restrict(5, "2026-07-14"))), on: "2026-07-15", word: training.SignedOff, until: "2026-08-08"},
		{name: "a sign-off whose evidence is struck no longer counts", skill: critical, facts: facts(met(1, "2026-05-05"), struck(met(2, "2026-05-08")), met(3, "2026-05-10"), void(sign(4, "2026-05-10T13:00", "2027-05-10", 1, 2, 3))), on: "2026-05-11", word: training.UnderTraining,
			reasons: []string{"the sign-off of 2026-05-10 no longer counts: an entry it names was struck", "2 of 3 met observations"}},
		{name: "a renewal whose evidence is struck leaves the earlier sign-off", skill: critical, facts: signed(void(sign(5, "2026-07-01", "2027-07-01", 1, 2, 88))), on: "2026-07-02", word: training.SignedOff, until: "2026-08-08",
			reasons: []string{"signed off on 2026-05-10, until 2027-05-10", "last used on 2026-05-10; 90 days away from the saw end it on 2026-08-08",
				"the sign-off of 2026-07-01 no longer counts: an entry it names was struck"}},
		{name: "a struck sign-off never was", skill: critical, facts: append(three(), struck(sign(4, "2026-05-10", "2027-05-10", 1, 2, 3))), on: "2026-05-11", word: training.ToDecide, until: "2026-08-08"},
		{name: "a sign-off without an end does not count", skill: critical, facts: append(three(), sign(4, "2026-05-10", "", 1, 2, 3)), on: "2026-05-11", word: training.ToDecide, until: "2026-08-08"},
		{name: "a withdrawal ends it", skill: critical, facts: signed(withdraw(5, "2026-06-01")), on: "2026-06-01", word: training.UnderTraining,
			reasons: []string{"the sign-off was withdrawn on 2026-06-01", "0 of 3 met observations since the withdrawal on 2026-06-01", "on 0 of 2 days", "none unannounced"}},
		{name: "a look not met is no restriction and leaves the sign-off", skill: critical, facts: signed(look(5, "2026-06-01", training.NotMet)), on: "2026-06-01", word: training.SignedOff, until: "2026-08-30"},

		{name: "gap in mid-season: the day before", skill: critical, facts: signed(), on: "2026-08-07", word: training.SignedOff, until: "2026-08-08"},
		{name: "gap in mid-season: without use it lapses", skill: critical, facts: signed(), on: "2026-08-08", word: training.Lapsed,
			reasons: []string{"ran out on 2026-08-08: 90 days away from the saw", "signed off on 2026-05-10, until 2027-05-10", "one met return look renews it to the old end"}},
		{name: "gap in mid-season: joins with a saw keep it", skill: critical, facts: signed(), joins: []string{"2026-06-20", "2026-08-07"}, on: "2026-08-08", word: training.SignedOff, until: "2026-11-05"},
		{name: "gap in mid-season: a join on the day it lapses comes too late", skill: critical, facts: signed(), joins: []string{"2026-08-08", "2026-08-09"}, on: "2026-08-09", word: training.Lapsed},
		{name: "gap in mid-season: an incomplete look is no use", skill: critical, facts: signed(look(5, "2026-08-01", training.Incomplete)), on: "2026-08-08", word: training.Lapsed},
		{name: "gap in mid-season: a struck look is no use", skill: critical, facts: signed(struck(met(5, "2026-08-01"))), on: "2026-08-08", word: training.Lapsed},
		{name: "skills one hopes not to use have no gap", skill: emergency, facts: signed(), on: "2027-04-09", word: training.SignedOff, until: "2027-04-10"},
		{name: "gap against winter: 30 October and 89 days", skill: critical, facts: signed(), joins: []string{"2026-08-03", "2026-10-30"}, on: "2027-01-27", word: training.SignedOff, until: "2027-01-28"},
		{name: "gap against winter: 28 January", skill: critical, facts: signed(), joins: []string{"2026-08-03", "2026-10-30"}, on: "2027-01-28", word: training.Lapsed},
		{name: "gap against winter: a join in spring does not renew", skill: critical, facts: signed(), joins: []string{"2026-08-03", "2026-10-30", "2027-05-03"}, on: "2027-05-03", word: training.Lapsed},
		{name: "gap against winter: one met return look renews to the old end", skill: critical, facts: signed(met(5, "2027-05-03")), joins: []string{"2026-08-03", "2026-10-30"}, on: "2027-05-03", word: training.Due, until: "2027-05-10",
			reasons: []string{"signed off on 2026-05-10, until 2027-05-10, renew", "last used on 2027-05-03"}},
		{name: "gap against winter: a look not met does not renew", skill: critical, facts: signed(look(5, "2027-05-03", training.NotMet)), joins: []string{"2026-08-03", "2026-10-30"}, on: "2027-05-03", word: training.Lapsed},
		{name: "gap against winter: on the old end a return look comes too late", skill: critical, facts: signed(met(5, "2027-05-10")), joins: []string{"2026-08-03", "2026-10-30"}, on: "2027-05-10", word: training.Lapsed,
			reasons: []string{"ran out on 2027-05-10", "signed off on 2026-05-10, until 2027-05-10", "1 of 3 met observations since it ran out on 2027-05-10", "on 1 of 2 days"}},
		{name: "evidence complete after a lapse by the end is to decide", skill: simple, facts: facts(met(1, "2026-05-05"), sign(2, "2026-05-10", "2027-05-10", 1), met(3, "2027-05-12")), joins: []string{"2026-08-02", "2026-10-30"}, on: "2027-05-12", word: training.ToDecide, until: "2027-08-10",
			reasons: []string{"ran out on 2027-05-10", "signed off on 2026-05-10, until 2027-05-10", "met on 2027-05-12, unannounced"}},
		{name: "a sign-off on looks from before the gap lapses at once", skill: critical, facts: append(three(), sign(4, "2026-09-01", "2027-09-01", 1, 2, 3)), on: "2026-09-01", word: training.Lapsed,
			reasons: []string{"ran out on 2026-09-01: 90 days away from the saw", "signed off on 2026-09-01, until 2027-09-01", "one met return look renews it to the old end"}},
		{name: "unless a saw was used by the second of it", skill: critical, facts: append(three(), sign(4, "2026-09-01T07:00", "2027-09-01", 1, 2, 3)), joins: []string{"2026-09-01"}, on: "2026-09-01", word: training.SignedOff, until: "2026-11-30"},
		{name: "old evidence does not cure a lapse", skill: critical, facts: signed(met(5, "2026-07-20"), met(6, "2026-07-21"), met(7, "2026-07-22")), joins: []string{"2026-10-01", "2026-10-30"}, on: "2027-05-11", word: training.Lapsed,
			reasons: []string{"ran out on 2027-05-10", "signed off on 2026-05-10, until 2027-05-10", "0 of 3 met observations since it ran out on 2027-05-10", "on 0 of 2 days", "none unannounced"}},

		{name: "12 months against start: the day before the warning", skill: emergency, facts: facts(sign(4, "2026-05-20", "2027-05-20")), on: "2027-04-19", word: training.SignedOff, until: "2027-04-20"},
		{name: "12 months against start: the warning opens on 20 April", skill: emergency, facts: facts(sign(4, "2026-05-20", "2027-05-20")), on: "2027-04-20", word: training.Due, until: "2027-05-20",
			reasons: []string{"signed off on 2026-05-20, until 2027-05-20, renew"}},
		{name: "12 months against start: the last day", skill: emergency, facts: facts(sign(4, "2026-05-20", "2027-05-20")), on: "2027-05-19", word: training.Due, until: "2027-05-20"},
		{name: "12 months against start: the end is half-open", skill: emergency, facts: facts(sign(4, "2026-05-20", "2027-05-20")), on: "2027-05-20", word: training.Lapsed},
		{name: "a renewal before the end goes on", skill: emergency, facts: facts(sign(4, "2026-05-20", "2027-05-20"), sign(5, "2027-05-01", "2028-05-01")), on: "2027-05-20", word: training.SignedOff, until: "2028-04-01"},

		{name: "evidence of 1 March 2026 on the last day it counts", skill: drilled, facts: facts(met(1, "2026-03-01")), on: "2027-02-28", word: training.ToDecide, until: "2027-03-01"},
		{name: "evidence of 1 March 2026 a year later", skill: drilled, facts: facts(met(1, "2026-03-01")), on: "2027-03-01", word: training.UnderTraining},
		{name: "evidence of 29 February ends on the 28th", skill: drilled, facts: facts(met(1, "2028-02-29")), on: "2029-02-27", word: training.ToDecide, until: "2029-02-28"},
		{name: "evidence of 28 February before a leap year", skill: drilled, facts: facts(met(1, "2027-02-28")), on: "2028-02-27", word: training.ToDecide, until: "2028-02-28"},
		{name: "looks too old do not matter where the others are enough", skill: critical, facts: append(facts(met(9, "2025-01-01")), three()...), on: "2026-05-10", word: training.ToDecide, until: "2026-08-08"},
		{name: "all looks count: one more that was announced does not lower the answer", skill: critical, facts: append(three(), announced(met(9, "2026-05-11"))), on: "2026-05-11", word: training.ToDecide, until: "2026-08-09"},
		{name: "an incomplete look is passed over", skill: critical, facts: append(three(), look(9, "2026-05-11", training.Incomplete)), on: "2026-05-11", word: training.ToDecide, until: "2026-08-08"},
		{name: "a look not met puts earlier ones out of count", skill: critical, facts: append(three(), look(9, "2026-05-11", training.NotMet), met(10, "2026-05-12")), on: "2026-05-12", word: training.UnderTraining,
			reasons: []string{"1 of 3 met observations since the miss on 2026-05-11", "on 1 of 2 days"}},

		{name: "same second: restriction beats sign-off", skill: critical, facts: signed(restrict(5, "2026-05-10T12:00")), on: "2026-05-10", word: training.Restricted},
		{name: "same second: restriction beats lift", skill: critical, facts: facts(restrict(1, "2026-07-14"), met(2, "2026-07-15"), lift(3, "2026-07-16", 2), restrict(4, "2026-07-16")), on: "2026-07-16", word: training.Restricted},
		{name: "same second: a look beside the miss does not bear a lift", skill: critical, facts: facts(look(1, "2026-07-14", training.CriticalMissed), met(2, "2026-07-14"), lift(3, "2026-07-16", 2)), on: "2026-07-16", word: training.Restricted},
		{name: "same second: withdrawal beats sign-off", skill: critical, facts: signed(withdraw(5, "2026-05-10T12:00")), on: "2026-05-10", word: training.UnderTraining},
		{name: "same second: miss beats met", skill: simple, facts: facts(look(1, "2026-07-14", training.NotMet), met(2, "2026-07-14")), on: "2026-07-14", word: training.UnderTraining},
		{name: "same second: of two sign-offs the one that ends first", skill: emergency, facts: facts(sign(1, "2026-07-14", "2026-12-31"), sign(2, "2026-07-14", "2027-07-14")), on: "2026-11-30", word: training.SignedOff, until: "2026-12-01"},

		{name: "until counts what was already known to come", skill: critical, facts: signed(restrict(5, "2026-07-14")), on: "2026-06-01", word: training.SignedOff, until: "2026-07-14"},
		{name: "until passes over a later join", skill: critical, facts: signed(), joins: []string{"2026-08-07"}, on: "2026-06-01", word: training.SignedOff, until: "2026-11-05"},
		{name: "until passes over a renewal", skill: emergency, facts: facts(sign(4, "2026-05-20", "2027-05-20"), sign(5, "2027-04-01", "2028-04-01")), on: "2026-06-01", word: training.SignedOff, until: "2028-03-02"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := training.History{Facts: c.facts, Teaching: taught()}
			for _, j := range c.joins {
				h.Uses = append(h.Uses, join(j))
			}
			st := training.StandingOf(training.Judged(c.skill, h, starterRules()), on(t, c.on))
			require.Equal(t, c.word, st.Word)
			require.Equal(t, c.until, st.Until.String(), "until")
			require.Equal(t, c.word == training.SignedOff || c.word == training.Due, st.Held())
			if c.reasons != nil {
				require.Equal(t, c.reasons, texts(st.Reasons))
			}
		})
	}
}

// Two trucks, and an accident at 10:40: what happened is one thing, what the book knew another.
func TestKnownIsNotHappened(t *testing.T) {
	h := training.History{Teaching: taught(), Facts: signed(recorded(look(5, "2026-07-14T10:00", training.CriticalMissed), "2026-07-16T18:00"))}
	for _, c := range []struct {
		on, known string
		word      training.Word
	}{
		{"2026-07-13T23:59", "2026-07-20T12:00", training.SignedOff},
		{"2026-07-14T09:59", "2026-07-20T12:00", training.SignedOff},
		{"2026-07-14T10:00", "2026-07-20T12:00", training.Restricted},
		{"2026-07-14T10:40", "2026-07-14T10:40", training.SignedOff},
		{"2026-07-16T18:00", "2026-07-16T17:59", training.SignedOff},
		{"2026-07-16T18:00", "2026-07-16T18:00", training.Restricted},
	} {
		a := fact(0, c.on, 0, 0)
		st := training.StandingOf(training.Judged(critical, h, starterRules()), training.Asked{Day: a.Day, On: a.At, Known: fact(0, c.known, 0, 0).At})
		require.Equal(t, c.word, st.Word, "on %s, known %s", c.on, c.known)
	}
}

// A moment within a day: until may be that very day.
func TestUntilWithinTheDayAsked(t *testing.T) {
	h := training.History{Teaching: taught(), Facts: signed(restrict(5, "2026-07-14T14:02"))}
	a := fact(0, "2026-07-14T10:40", 0, 0)
	st := training.StandingOf(training.Judged(critical, h, starterRules()), training.Asked{Day: a.Day, On: a.At, Known: a.At + 86400})
	require.Equal(t, training.SignedOff, st.Word)
	require.Equal(t, "2026-07-14", st.Until.String())
	st = training.StandingOf(training.Judged(critical, h, starterRules()), training.Asked{Day: a.Day, On: a.At, Known: a.At})
	require.Equal(t, "2026-08-08", st.Until.String(), "the restriction was not known yet")
}

// A refusal of a sign-off lists exactly what is missing.
func TestMissing(t *testing.T) {
	untaught := training.History{Facts: three()}
	require.Equal(t, []string{"the module was neither attended nor credited"}, training.Missing(training.Judged(critical, untaught, starterRules()), on(t, "2026-05-10")))
	for _, c := range []struct {
		name  string
		skill training.Skill
		facts []training.Fact
		on    string
		want  []string
	}{
		{"complete", critical, three(), "2026-05-10", nil},
		{"complete for one look", simple, facts(announced(met(1, "2026-05-05"))), "2026-05-10", nil},
		{"no look", simple, nil, "2026-05-10", []string{"0 of 1 met observations", "on 0 of 1 days"}},
		{"two of three", critical, facts(met(1, "2026-07-13"), met(2, "2026-07-14")), "2026-07-14", []string{"2 of 3 met observations"}},
		{"two of three on one day, both announced", critical, facts(announced(met(1, "2026-07-14T09:00")), announced(met(2, "2026-07-14T15:00"))), "2026-07-14",
			[]string{"2 of 3 met observations", "both on 2026-07-14, 2 days needed", "none unannounced"}},
		{"three on one day", critical, facts(met(1, "2026-07-14T09:00"), met(2, "2026-07-14T11:00"), met(3, "2026-07-14T15:00")), "2026-07-14", []string{"all on 2026-07-14, 2 days needed"}},
		{"all announced", critical, facts(announced(met(1, "2026-07-13")), announced(met(2, "2026-07-14")), announced(met(3, "2026-07-15"))), "2026-07-15", []string{"none unannounced"}},
		{"the unannounced look is not among the last three", critical, append(facts(met(9, "2026-05-01")), announced(met(1, "2026-07-13")), announced(met(2, "2026-07-14")), announced(met(3, "2026-07-15"))), "2026-07-15", nil},
		{"away too long", critical, three(), "2026-08-08", []string{"last used on 2026-05-10, 90 days ago or more; a met return look comes first"}},
		{"the first look is a year old", emergency, three(), "2027-05-05", []string{"2 of 3 met observations, 1 already 12 months old", "none unannounced"}},
		{"and was not the day before", emergency, three(), "2027-05-04", nil},
		{"restricted", critical, append(three(), restrict(5, "2026-05-11")), "2026-05-11",
			[]string{"the skill is restricted; a lift has to come first", "0 of 3 met observations since the restriction on 2026-05-11", "on 0 of 2 days", "none unannounced"}},
		{"restricted, with enough looks since", critical, append(facts(restrict(5, "2026-05-01")), three()...), "2026-05-11", []string{"the skill is restricted; a lift has to come first"}},
		{"withdrawn from the curriculum", training.Skill{ID: "9.9", Withdrawn: true}, facts(met(1, "2026-05-05")), "2026-05-10", []string{"the skill was withdrawn from the curriculum"}},
		{"struck looks are none", critical, facts(met(1, "2026-07-13"), met(2, "2026-07-14"), struck(met(3, "2026-07-15"))), "2026-07-15", []string{"2 of 3 met observations"}},
		{"after a lapse by the gap, with the return look", critical, signed(met(5, "2026-08-20")), "2026-08-20", []string{"1 of 3 met observations since it ran out on 2026-08-08", "on 1 of 2 days"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := training.History{Facts: c.facts, Teaching: taught()}
			require.Equal(t, c.want, training.Missing(training.Judged(c.skill, h, starterRules()), on(t, c.on)))
		})
	}
	need := starterRules()
	need.Critical.Unannounced = 2
	require.Equal(t, []string{"1 of 2 unannounced"}, training.Missing(training.Judged(critical, training.History{Facts: three(), Teaching: taught()}, need), on(t, "2026-05-10")))
}

// A sign-off names the newest looks that are enough; an older one only where it is needed.
func TestLooksThatASignOffNames(t *testing.T) {
	named := func(f ...training.Fact) []training.Ref {
		return entries(training.Looks(training.Judged(critical, training.History{Facts: f, Teaching: taught()}, starterRules()), on(t, "2026-05-12")))
	}
	require.Equal(t, []training.Ref{1, 2, 3}, named(append(facts(met(9, "2026-04-01")), three()...)...))
	require.Equal(t, []training.Ref{1, 2, 3, 9}, named(append(three(), announced(met(9, "2026-05-11")))...), "the first alone was not announced")
	require.Equal(t, []training.Ref{2, 3}, named(three()[1:]...), "all that count where they are not enough")
}

// A stop told late restricts at once: a lift lifts only what was recorded before it.
func TestStopsToldLate(t *testing.T) {
	lifted := facts(restrict(5, "2026-03-10"), met(6, "2026-03-11T09:00"), lift(7, "2026-03-11", 6))
	late := recorded(restrict(8, "2026-03-08"), "2026-03-20")
	for _, c := range []struct {
		name    string
		facts   []training.Fact
		known   string
		word    training.Word
		reasons []string
	}{
		{"before it was told", append(lifted, late), "2026-03-19", training.ToDecide, nil},
		{"restricted by hand, dated before the lift", append(lifted, late), "2026-03-20", training.Restricted, []string{
			"restricted on 2026-03-08", "the lift of 2026-03-11 was recorded before that was told, and does not lift it",
			"met again on 2026-03-11; a lift that names this look may follow"}},
		{"a critical miss dated before the lift", append(lifted, recorded(look(8, "2026-03-09", training.CriticalMissed), "2026-03-20")), "2026-03-20", training.Restricted, nil},
		{"a lift since names the same later look", append(lifted, late, recorded(lift(9, "2026-03-21", 6), "2026-03-21")), "2026-03-21", training.ToDecide, nil},
		{"over a sign-off that came between", append(lifted, sign(10, "2026-03-12", "2027-03-12", 6), late), "2026-03-20", training.Restricted, nil},
		{"whose level comes back only with a new one", append(lifted, sign(10, "2026-03-12", "2027-03-12", 6), late, lift(9, "2026-03-21", 6)), "2026-03-21", training.ToDecide, []string{
			"the sign-off of 2026-03-12 no longer counts: the skill was restricted then", "the restriction was lifted on 2026-03-21; the level comes back with a new sign-off",
			"met on 2026-03-11, unannounced"}},
		{"told in the second of the lift, written down after it", append(lifted, recorded(restrict(8, "2026-03-08"), "2026-03-11T12:00")), "2026-03-11", training.Restricted, nil},
		{"written down before it", append(lifted, recorded(restrict(4, "2026-03-08"), "2026-03-11T12:00")), "2026-03-11", training.ToDecide, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := endOfDay(day(t, "2026-03-21"), day(t, c.known))
			st := training.StandingOf(training.Judged(simple, training.History{Facts: c.facts, Teaching: taught()}, starterRules()), a)
			require.Equal(t, c.word, st.Word)
			if c.reasons != nil {
				require.Equal(t, c.reasons, texts(st.Reasons))
			}
		})
	}
	st := training.StandingOf(training.Judged(simple, training.History{Facts: facts(late), Teaching: taught()}, starterRules()), on(t, "2026-03-21"))
	require.Equal(t, late.Recorded, st.Reasons[0].Late, "what is known only since later says so")
	st = training.StandingOf(training.Judged(simple, training.History{Facts: facts(recorded(restrict(8, "2026-03-08T08:00"), "2026-03-09T08:00")), Teaching: taught()}, starterRules()), on(t, "2026-03-21"))
	require.Zero(t, st.Reasons[0].Late, "a day is not late yet")
}

// Reasons name what was: no withdrawal of a sign-off where none was, and every sign-off that does not count.
func TestReasonsNameWhatWas(t *testing.T) {
	reasons := func(on training.Asked, f ...training.Fact) []string {
		return texts(training.StandingOf(training.Judged(simple, training.History{Facts: f, Teaching: taught()}, starterRules()), on).Reasons)
	}
	require.Equal(t, []string{"0 of 1 met observations since the withdrawal on 2026-06-01", "on 0 of 1 days"}, reasons(on(t, "2026-06-02"), met(1, "2026-05-05"), withdraw(2, "2026-06-01")))
	require.Equal(t, []string{"the sign-off was withdrawn on 2026-06-01", "0 of 1 met observations since the withdrawal on 2026-06-03", "on 0 of 1 days"},
		reasons(on(t, "2026-06-04"), met(1, "2026-05-05"), sign(2, "2026-05-06", "2027-05-06", 1), withdraw(3, "2026-06-01"), withdraw(4, "2026-06-03")))
	require.Equal(t, []string{"the sign-off of 2026-05-06 no longer counts: an entry it names was struck", "the sign-off of 2026-05-08 no longer counts: an entry it names was struck",
		"0 of 1 met observations", "on 0 of 1 days"},
		reasons(on(t, "2026-05-09"), struck(met(1, "2026-05-05")), void(sign(2, "2026-05-06", "2027-05-06", 1)), void(sign(3, "2026-05-08", "2027-05-08", 1))))
	h := training.History{Facts: signed(), Teaching: taught(), Uses: facts(join("2026-07-01"), join("2026-08-07"))}
	st := training.StandingOf(training.Judged(critical, h, starterRules()), on(t, "2026-06-01"))
	require.Equal(t, "2026-11-05", st.Until.String())
	require.Equal(t, "last used on 2026-05-10 and again by 2026-08-07; 90 days away from the saw end it on 2026-11-05", st.Reasons[1].Text, "until and reasons name one day")
}

// The critical criterion that was missed is named, from the record of the look.
func TestTheMissedCriterionIsNamed(t *testing.T) {
	skill := training.Skill{ID: "7.1", Critical: true, Criteria: []training.Criterion{{ID: "sector", Critical: true}, {ID: "stance"}}}
	c := training.Judged(skill, training.History{Facts: facts(look(5, "2026-07-14", training.CriticalMissed)), Teaching: taught()}, starterRules())
	c.Marks = func(look training.Ref) []training.Mark {
		return []training.Mark{{Criterion: "sector", Seen: training.Missed}, {Criterion: "stance", Seen: training.Missed}}
	}
	require.Equal(t, "a critical criterion was missed on 2026-07-14: sector", training.StandingOf(c, on(t, "2026-07-14")).Reasons[0].Text)
	c.Readings[0].Skill.Criteria[0].Critical = false
	require.Equal(t, "a critical criterion was missed on 2026-07-14: sector, stance", training.StandingOf(c, on(t, "2026-07-14")).Reasons[0].Text, "as nobody can tell any more which it was")
}

// House rule coverage: every criterion met at least once among the looks that count.
func TestCoverage(t *testing.T) {
	skill := training.Skill{ID: "7.1", Critical: true, Criteria: []training.Criterion{{ID: "sector", Critical: true}, {ID: "stance"}, {ID: "stop"}}}
	saw := map[training.Ref][]string{1: {"sector"}, 2: {"sector", "stance"}, 3: {"sector"}, 5: {"sector", "stop"}}
	c := training.Judged(skill, training.History{Facts: append(three(), announced(met(5, "2026-05-12"))), Teaching: taught()}, starterRules())
	c.Marks = func(look training.Ref) (marks []training.Mark) {
		for _, cr := range skill.Criteria {
			seen := training.NotSeen
			if slices.Contains(saw[look], cr.ID) {
				seen = training.Met
			}
			marks = append(marks, training.Mark{Criterion: cr.ID, Seen: seen})
		}
		return marks
	}
	require.Nil(t, training.Missing(c, on(t, "2026-05-11")), "an edition without the rule does not ask")
	c.Readings[0].Rules.Coverage = true
	require.Equal(t, []string{"not met yet in a look that counts: stop"}, training.Missing(c, on(t, "2026-05-11")))
	require.Nil(t, training.Missing(c, on(t, "2026-05-12")))
	require.Equal(t, []training.Ref{1, 2, 3, 5}, entries(training.Looks(c, on(t, "2026-05-12"))))
	st := training.StandingOf(c, on(t, "2026-05-11"))
	require.Equal(t, []any{training.UnderTraining, "2026-05-12"}, []any{st.Word, st.Until.String()})
	c.Marks = nil
	require.Equal(t, []string{"not met yet in a look that counts: sector, stance, stop"}, training.Missing(c, on(t, "2026-05-12")), "what nobody can tell was not seen")
}

// Sign-offs by a trainer alone: until a second person has seen one look.
func TestAlone(t *testing.T) {
	alone := func(f ...training.Fact) bool {
		return training.StandingOf(training.Judged(critical, training.History{Facts: f, Teaching: taught()}, starterRules()), on(t, "2026-06-01")).Alone
	}
	require.True(t, alone(signed()...))
	require.False(t, alone(signed(by(2, met(5, "2026-05-20")))...), "a second person saw one look")
	require.True(t, alone(signed(struck(by(2, met(5, "2026-05-20"))))...), "that look is struck")
	require.True(t, alone(signed(by(2, look(5, "2026-05-20", training.NotMet)))...), "that look is not met")
	require.True(t, alone(signed(by(2, met(5, "2026-06-02")))...), "that look comes later")
	require.False(t, alone(append(three(), by(2, sign(4, "2026-05-10", "2027-05-10", 1, 2, 3)))...), "signed by another than the observer")
	require.False(t, alone(three()...), "nobody has signed")
}

func TestLatestLookMet(t *testing.T) {
	latest := func(f ...training.Fact) bool {
		return training.StandingOf(training.Judged(critical, training.History{Facts: f, Teaching: taught()}, starterRules()), on(t, "2026-06-01")).LastMet
	}
	require.False(t, latest())
	require.True(t, latest(met(1, "2026-05-05")))
	require.False(t, latest(met(1, "2026-05-05"), look(2, "2026-05-06", training.NotMet)))
	require.True(t, latest(met(1, "2026-05-05"), look(2, "2026-05-06", training.Incomplete)), "incomplete is passed over")
	require.True(t, latest(met(1, "2026-05-05"), struck(look(2, "2026-05-06", training.NotMet))))
}

// taught is an attendance long before everything else.
func taught() []training.Fact {
	return []training.Fact{{Kind: training.FactAttendance, Entry: 1, Day: civil.Date(2020, 1, 1), At: int64(civil.Date(2020, 1, 1)) * 86400, Until: civil.None}}
}

// A standing that waits only for teaching changes at the moment of it.
func TestTeachingCountsFromItsMoment(t *testing.T) {
	teaching := facts(met(9, "2026-05-10T15:00"))
	teaching[0].Kind = training.FactAttendance
	h := training.History{Facts: facts(met(5, "2026-05-10T09:00")), Teaching: teaching}
	other := critical
	other.Critical = false
	c := training.Judged(other, h, starterRules())
	before := training.StandingOf(c, on(t, "2026-05-09"))
	require.Equal(t, []any{training.UnderTraining, "2026-05-10"}, []any{before.Word, before.Until.String()})
	_, changes := training.DayOf(c, on(t, "2026-05-10"))
	require.Equal(t, []training.Change{{At: teaching[0].At, Word: training.ToDecide}}, changes)
	steps := training.StepsBetween(c, on(t, "2026-05-09"), on(t, "2026-05-12"))
	require.Len(t, steps, 1)
	require.Equal(t, teaching[0].At, steps[0].At)
}
