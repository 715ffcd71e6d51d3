package training

import (
	"cmp"
	"slices"

	"example.org/ringtrue/training/civil"
)

// Ref stands for one entry of the book; the store gives it out and turns it back into "origin#seq". Refs of one
// origin grow with seq.
type Ref int64

// FactKind says what a fact records. Kinds are stored: new ones are added at the end, none is renumbered.
type FactKind uint8

// Kinds of facts.
const (
	FactOther FactKind = iota // an entry about the worker that standing does not ask for
	FactAttendance
	FactCredit
	FactObservation
	FactSignOff
	FactWithdrawal
	FactRestriction
	FactLift
	FactRelease
	FactUse // joined a tailgate with a saw under a task group
)

// Announced is set in the Code of an observation that was announced; the rest of the code is its Outcome.
const Announced uint8 = 1 << 4

// Fact is one line about one worker and one topic (a skill, a module, a task group): what a question needs, without
// reading the entry. It is derived from the entry and never outlives it.
type Fact struct {
	Entry     Ref
	Kind      FactKind
	Code      uint8     // observation: Outcome and Announced; release: Level; sign-off: Independence
	By        uint32    // fingerprint of the person who recorded it; equal persons have equal fingerprints
	Day       civil.Day // of happening, in the book's zone
	Until     civil.Day // sign-off, release: first day no longer in force; else None
	At        int64     // happened, Unix seconds
	Recorded  int64     // recorded, Unix seconds
	Cites     []Ref     // entries it names as evidence
	Struck    bool      // a strike known by the moment asked names it
	Void      bool      // a strike known by the moment asked names one of Cites, or it is not trusted
	Untrusted bool      // it is signed, and its signature is not trusted: it permits nothing
}

// Outcome of an observation.
func (f Fact) Outcome() Outcome { return Outcome(f.Code &^ Announced) }

// Announced reports whether the observed worker knew of the look beforehand.
func (f Fact) Announced() bool { return f.Code&Announced != 0 }

// Asked is a question's point in time: what was true by On, as far as the book knew by Known. Both are the last
// second that counts; Day is the day of On in the book's zone.
type Asked struct {
	Day   civil.Day
	On    int64
	Known int64
}

// strictness orders facts of the same second: the stricter comes later and so has the last word.
func (f *Fact) strictness() int {
	switch f.Kind {
	case FactObservation:
		if f.Outcome() == OutcomeMet || f.Outcome() == Incomplete {
			return 0
		}
		return 5
	case FactRelease:
		return 1
	case FactSignOff:
		return 2
	case FactLift:
		return 3
	case FactWithdrawal:
		return 4
	case FactRestriction:
		return 6
	}
	return 0
}

// inOrder compares facts by the order in which they count: by happening; at the same second the stricter last, of
// two sign-offs the one that ends first, of two releases the one at the lower level; then by recording and place in
// the ledger.
func inOrder(a, b *Fact) int {
	if c := cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.strictness(), b.strictness())); c != 0 {
		return c
	}
	if a.Kind == FactRelease && b.Kind == FactRelease && a.Code != b.Code {
		return cmp.Compare(b.Code, a.Code)
	}
	if a.Kind == FactSignOff && b.Kind == FactSignOff && a.Until != b.Until {
		return cmp.Compare(b.Until, a.Until)
	}
	return cmp.Or(cmp.Compare(a.Recorded, b.Recorded), cmp.Compare(a.Entry, b.Entry))
}

// Sort puts facts in the order in which they count: by happening; at the same second the stricter last; then by
// recording and place in the ledger.
func Sort(facts []Fact) { slices.SortFunc(facts, func(a, b Fact) int { return inOrder(&a, &b) }) }

func sorted(facts []Fact) bool {
	for i := 1; i < len(facts); i++ {
		if inOrder(&facts[i-1], &facts[i]) > 0 {
			return false
		}
	}
	return true
}
