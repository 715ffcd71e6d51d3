package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// neverStruck are kinds that are superseded or ended by other entries, not struck.
var neverStruck = map[string]string{
	store.KindBook:       "it opened the book",
	store.KindCurriculum: "an edition is superseded by adopting another, not struck",
	store.KindHouse:      "an edition is superseded by adopting another, not struck",
	store.KindRules:      "an edition is superseded by adopting another, not struck",
	store.KindStrike:     "a strike cannot be struck; enter the fact anew",
	ledger.KindKey:       "a key is ended, not struck: ringtrue key end",
	ledger.KindKeyEnd:    "a key that was ended stays so; make another: ringtrue key make",
	ledger.KindRoster:    "say it anew: ringtrue key vouch",
	store.KindDevice:     "it names the key of a device, by which seals are checked",
	store.KindForgotten:  "the name is gone",
	store.KindSighting:   "it says what was seen of another device",
}

// strikeRule says what an entry of a kind does, and whose decision it is. Kinds without a rule state facts.
type strikeRule struct {
	weight training.Weight
	duty   string
}

// strikeRules are by kind (company choice). Some entries of a kind weigh more than the others: see strikeWeight.
var strikeRules = map[string]strikeRule{
	training.KindRestriction:    {training.OfStop, training.DutySign},
	training.KindWithdrawal:     {training.OfStop, training.DutySign},
	training.KindReleaseEnd:     {training.OfStop, training.DutySign},
	training.KindLeave:          {training.OfStop, training.DutySign},
	training.KindAppointmentEnd: {training.OfStop, training.DutySign},
	training.KindNewAgain:       {training.OfStop, training.DutySign},
	store.KindTag:               {training.OfStop, training.DutyClear},
	store.KindRetire:            {training.OfStop, training.DutyClear},
	store.KindBladeScrapped:     {training.OfStop, training.DutyClear},
	store.KindDefect:            {training.OfFact, training.DutyClear},
	store.KindChange:            {training.OfFact, training.DutySign},
	store.KindCheckIn:           {training.OfFact, training.DutySign},
	store.KindClose:             {training.OfFact, training.DutySign},
	training.KindReturn:         {training.OfStop, training.DutySign},
	training.KindInspection:     {training.OfPermit, training.DutySign},
	training.KindObservation:    {training.OfPermit, training.DutyObserve},
	training.KindAttendance:     {training.OfPermit, training.DutyTeach},
	training.KindCredit:         {training.OfPermit, training.DutySign},
	training.KindSignOff:        {training.OfPermit, training.DutySign},
	training.KindLift:           {training.OfPermit, training.DutySign},
	training.KindRelease:        {training.OfPermit, training.DutySign},
	training.KindAppointment:    {training.OfPermit, training.DutySign},
	training.KindOrientation:    {training.OfPermit, training.DutySign},
	training.KindTicket:         {training.OfPermit, training.DutySign},
	training.KindIssue:          {training.OfPermit, training.DutySign},
	store.KindBlock:             {training.OfPermit, training.DutySign},
	store.KindTailgate:          {training.OfPermit, training.DutySign},
	store.KindClear:             {training.OfPermit, training.DutyClear},
	store.KindLookAgain:         {training.OfPermit, training.DutyClear},
}

// strikeWeight is what one entry does: a missed critical point, a defect that stops, a missed call, a short head count, a day change
// that holds and a condemned piece stop; other entries of those kinds do what the rule of their kind says.
func strikeWeight(h ledger.Header) training.Weight {
	text := func(name string) string { return ledger.Text(ledger.Lookup(h.Data, name)) }
	stops := false
	switch h.Kind {
	case training.KindObservation:
		stops = criticalMiss(h)
	case training.KindInspection:
		stops = text("condition") == "condemned"
	case store.KindDefect:
		stops = string(ledger.Lookup(h.Data, "stops")) == "true"
	case store.KindCheckIn:
		stops = string(ledger.Lookup(h.Data, "missed")) == "true"
	case store.KindClose:
		var rec closeRecord
		stops = ledger.Decode(h.Data, &rec) != nil || len(rec.Missing)+len(rec.VisitorsMissing) > 0
	case store.KindChange:
		var rec changeRecord
		stops = ledger.Decode(h.Data, &rec) != nil || rec.Assessment.Answer == hazards.Hold
	}
	if stops {
		return training.OfStop
	}
	return strikeRules[h.Kind].weight
}

func criticalMiss(h ledger.Header) bool {
	return h.Kind == training.KindObservation && ledger.Text(ledger.Lookup(h.Data, "outcome")) == training.CriticalMissed.String()
}

// strikeConcerns lists whom an entry concerns: its worker, those missing at a head count, and who found what is wrong with a saw.
func strikeConcerns(h ledger.Header) []string {
	out := present(h.Worker)
	switch h.Kind {
	case store.KindTag, store.KindDefect:
		out = append(out, h.By)
	case store.KindClose:
		var rec closeRecord
		if ledger.Decode(h.Data, &rec) == nil {
			out = append(out, rec.Missing...)
		}
	}
	return out
}

// strikeRefusals lists what stands against a strike.
func (a *app) strikeRefusals(s strikeAsked) ([]training.Refusal, error) {
	rule := strikeRules[s.struck.Kind]
	day := civil.Of(s.happened, a.book.Zone())
	list, err := a.appointmentsOf(s.by.ID, a.knownNow(day))
	duty := rule.duty
	if criticalMiss(s.struck) {
		duty = training.DutySign
	}
	return training.Crossing{
		Weight: strikeWeight(s.struck), Concerns: slices.Compact(strikeConcerns(s.struck)), By: s.by.ID, Owner: s.by.ID == a.opening.Owner,
		Named: may(list, s.by.ID, duty, s.struck.Skill, day), Reason: strings.TrimSpace(s.rec.Reason) != "", Second: s.rec.Second,
	}.Refusals(), err
}
