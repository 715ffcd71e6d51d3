package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// summary says in one line what an entry about a worker records.
func summary(h ledger.Header, people *people) string {
	say := summaries[h.Kind]
	if say == nil {
		return h.Kind
	}
	return say(summed{h, people})
}

// summed is an entry of which a line is said.
type summed struct {
	h      ledger.Header
	people *people
}

// text is a text of the entry's record, "" where it has none of that name.
func (e summed) text(name string) string { return ledger.Text(ledger.Lookup(e.h.Data, name)) }

// number is a number of the entry's record, "" where it has none of that name.
func (e summed) number(name string) string { return string(ledger.Lookup(e.h.Data, name)) }

// list is a list of texts. One that cannot be read shows as empty; verify names it.
func (e summed) list(name string) (out []string) {
	_ = json.Unmarshal(ledger.Lookup(e.h.Data, name), &out)
	return out
}

// summaries says the line of each kind of entry; any other kind is said by its name.
var summaries = map[string]func(e summed) string{
	training.KindWorker: func(e summed) string {
		return "on the crew list from " + e.text("from") + note("; seasons with a clearing saw before: ", e.number("seasons_before"))
	},
	training.KindSeasons: func(e summed) string {
		return "seasons with a clearing saw before: " + e.number("before") + note("; ", e.text("basis"))
	},
	training.KindLeave: func(e summed) string {
		return "left on " + e.text("from")
	},
	store.KindForgotten: func(e summed) string {
		return "name and contacts erased: " + e.text("reason")
	},
	training.KindAppointment: func(e summed) string {
		return fmt.Sprintf("named for %v from %s%s: %s", e.list("duties"), e.text("from"), note(" until ", e.text("until")), e.text("basis"))
	},
	training.KindAppointmentEnd: func(e summed) string {
		return fmt.Sprintf("named for %v no longer, from %s on: %s", e.list("duties"), e.text("from"), e.text("reason"))
	},
	training.KindAttendance: func(e summed) string {
		return "was taught " + e.text("module") + note(" in ", e.text("language")) + note("; understood: ", e.text("understood"))
	},
	training.KindCredit: func(e summed) string {
		return "earlier training accepted in " + e.text("module") + ": " + e.text("reason") + " (" + e.text("document") + ")"
	},
	training.KindObservation: func(e summed) string {
		return observed(e.h)
	},
	training.KindSignOff: func(e summed) string {
		return "signed off until " + e.text("until") + ", " + e.text("independence")
	},
	training.KindWithdrawal: func(e summed) string {
		return "sign-off withdrawn: " + e.text("reason")
	},
	training.KindRestriction: func(e summed) string {
		return "restricted: " + e.text("reason")
	},
	training.KindLift: func(e summed) string {
		return "restriction lifted on entry " + e.text("observation") + note(": ", e.text("reason"))
	},
	training.KindRelease: func(e summed) string {
		return "released for " + e.text("group") + ", " + e.text("level") + note(", until ", e.text("until")) + note(", own word: ", e.text("basis")) + training.Within(e.text("slope"), e.text("limits"))
	},
	training.KindStatement: func(e summed) string {
		return "says on entry " + e.text("entry") + ": " + e.text("says")
	},
	training.KindReleaseEnd: func(e summed) string {
		return "release for " + e.text("group") + " ended: " + e.text("reason")
	},
	training.KindIssue: func(e summed) string {
		return "issued " + e.text("item") + note(", size ", e.text("size")) + note(", ", e.text("standard"))
	},
	training.KindInspection: func(e summed) string {
		return "looked at the piece of entry " + e.text("issue") + ": " + e.text("condition") + note(", ", e.text("reason"))
	},
	training.KindOrientation: func(e summed) string {
		return "oriented on block " + e.text("block") + note(" in ", e.text("language")) + note("; understood: ", e.text("understood"))
	},
	training.KindNewAgain: func(e summed) string {
		return "new again: " + e.text("reason")
	},
	training.KindTicket: func(e summed) string {
		return "ticket: " + e.text("what") + note(" until ", e.text("until")) + " (" + e.text("document") + ")"
	},
	training.KindTold: func(e summed) string {
		return e.text("decision") + " for " + e.text("of") + " told by phone by " + e.people.handle(e.text("decider")) + ", awaiting signature; it changes nothing"
	},
	store.KindSawUse: func(e summed) string {
		return "had saw " + e.text("saw") + note(" on block ", e.text("block")) + note(", ", e.text("hours"))
	},
	store.KindFitting: func(e summed) string {
		return "fitted with saw " + e.text("saw") + ": hook " + e.text("hook") + ", blade " + e.text("height") + note(", elbow ", e.text("elbow")) + note(", wrist ", e.text("wrist"))
	},
	store.KindCheckIn: func(e summed) string {
		if string(ledger.Lookup(e.h.Data, "missed")) == "true" {
			return "did not call on block " + e.text("block") + note("; done about it: ", e.text("action"))
		}
		return "called on block " + e.text("block") + note(", ", e.text("how"))
	},
	store.KindExposure: func(e summed) string {
		return e.text("trigger") + " at the trigger of saw " + e.text("saw") + ", A(8) " + e.text("a8") + note(", beyond the value for vibration: ", e.text("over")) + "; " + hazards.Minutes{Dose: e.text("dose"), Worn: e.text("worn"), WornDose: e.text("worn_dose")}.NoiseWords()
	},
	training.KindReturn: func(e summed) string {
		return "returned the piece of entry " + e.text("issue") + ", " + e.text("condition")
	},
	ledger.KindKey: func(e summed) string {
		return "has a key: " + e.text("verifier")
	},
	ledger.KindKeyEnd: func(e summed) string {
		return "key " + e.text("key") + " ended, not to be believed from " + e.text("from") + ": " + e.text("reason")
	},
	ledger.KindRoster: func(e summed) string {
		return fmt.Sprintf("the company vouches for key %s, for %v from %s%s: %s", e.text("key"), e.list("duties"), e.text("from"), note(" until ", e.text("until")), e.text("basis"))
	},
	store.KindJoin: func(e summed) string {
		return "joined the tailgate " + e.text("tailgate") + note(" with saw ", e.text("saw")) + note(", briefed by ", e.people.handle(e.text("briefed_by")))
	},
}

func note(before, text string) string {
	if text == "" {
		return ""
	}
	return before + text
}

// observed says how a look ended and what was said of each criterion.
func observed(h ledger.Header) string {
	var o training.Observation
	if err := ledger.Decode(h.Data, &o); err != nil {
		return "observed; the record cannot be read: " + err.Error()
	}
	how := "unannounced"
	if o.Announced {
		how = "announced"
	}
	parts := []string{fmt.Sprintf("observed %s, %s%s", o.Outcome, how, note(", block ", o.Block))}
	for _, m := range o.Marks {
		parts = append(parts, m.Criterion+" "+m.Seen+note(" ", m.Value))
	}
	return strings.Join(parts, "; ") + note("; ", o.Note)
}
