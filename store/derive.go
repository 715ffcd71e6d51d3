package store

import (
	"fmt"
	"hash/fnv"
	"time"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// placed is a fact with the row it belongs to. The subject is a worker's person id, "block/ID", "tailgate/REF", one of saws
// (saw.go), or Everything for lists of the whole book.
type placed struct {
	subject string
	topic   string
	fact    training.Fact
}

// Everything is the subject under which the book's own lists stand: workers, appointments, blocks, editions.
const Everything = ""

// Topics of facts other than skills and modules, whose topic is their id.
func UseTopic(group string) string           { return "use/" + group }     // joined with a saw under a task group
func ReleaseTopic(group string) string       { return "release/" + group } // released for a task group
func BlockSubject(block string) string       { return "block/" + block }
func TailgateSubject(tailgate string) string { return "tailgate/" + tailgate }
func FireSubject(station string) string      { return "fire/" + station }

// deriver turns entries into facts. refs gives out refs by origin, and a number to an origin that it has not met.
type deriver struct {
	zone *time.Location
	refs *refs
}

// strike is what a strike entry says: which entry is struck, by which, recorded when.
type strike struct {
	entry, by training.Ref
	recorded  int64
}

// derive gives what follows from one entry. It reads only what it needs from the data, so that verification can
// derive millions again.
func (d deriver) derive(h ledger.Header) (derived, error) {
	f := training.Fact{
		Entry: d.refs.of(h.Origin, h.Seq), By: fingerprint(h.By), Day: civil.Of(h.Happened, d.zone), Until: civil.None,
		At: h.Happened.Unix(), Recorded: h.Recorded.Unix(),
	}
	switch h.Kind {
	case KindStrike:
		named, err := d.named(h.Data, "entry")
		if err != nil {
			return derived{}, fmt.Errorf("strike: %w", err)
		}
		return derived{[]placed{{Everything, h.Kind, f}}, &strike{named, f.Entry, f.Recorded}}, nil
	case KindBlock:
		return derived{facts: []placed{{Everything, KindBlock, f}, {BlockSubject(field(h, "id")), KindBlock, f}}}, nil
	case KindTailgate:
		return derived{facts: []placed{{BlockSubject(field(h, "block")), KindTailgate, f}}}, nil
	case KindForm:
		return derived{facts: []placed{{FormSubject(field(h, "form")), KindForm, f}}}, nil
	case KindFireDay:
		return derived{facts: []placed{{FireSubject(field(h, "station")), KindFireDay, f}}}, nil
	case KindChange:
		return derived{facts: []placed{{TailgateSubject(field(h, "tailgate")), KindChange, f}}}, nil
	case KindClose:
		return derived{facts: []placed{{TailgateSubject(field(h, "tailgate")), KindClose, f}, {BlockSubject(field(h, "block")), KindClose, f}}}, nil
	}
	if rows, ok, err := d.aboutSaw(h, f); ok {
		return derived{facts: rows}, err
	}
	if h.Worker == "" && h.Kind == KindJoin { // a visitor, who stands there by what they are
		return derived{facts: []placed{{TailgateSubject(field(h, "tailgate")), KindJoin, f}}}, nil
	}
	if h.Worker == "" {
		return derived{facts: []placed{{Everything, h.Kind, f}}}, nil
	}
	rows, err := d.aboutWorker(h, f)
	return derived{facts: rows}, err
}

func (d deriver) aboutWorker(h ledger.Header, f training.Fact) ([]placed, error) {
	topic, err := d.topic(h, &f)
	if err == nil && len(f.Cites) > maxCites {
		err = fmt.Errorf("it names %d entries; at most %d fit", len(f.Cites), maxCites)
	}
	if err != nil {
		return nil, fmt.Errorf("%s of %s: %w", h.Kind, h.Worker, err)
	}
	rows := []placed{{h.Worker, topic, f}}
	switch h.Kind {
	case training.KindWorker, training.KindSeasons, training.KindLeave, training.KindAppointment, training.KindAppointmentEnd, training.KindIssue, training.KindReturn,
		ledger.KindKey, ledger.KindKeyEnd, ledger.KindRoster, KindForgotten:
		rows = append(rows, placed{Everything, h.Kind, f})
	case KindCheckIn, KindExposure:
		rows = append(rows, placed{TailgateSubject(field(h, "tailgate")), h.Kind, f})
	case KindJoin:
		rows = append(rows, placed{TailgateSubject(field(h, "tailgate")), KindJoin, f})
		if saw := field(h, "saw"); saw != "" {
			f.Kind = training.FactOther
			rows = append(rows, placed{SawMonthSubject(f.Day, saw), KindSawUse, f})
		}
	}
	return rows, nil
}

// topic completes the fact by its kind and says under which topic of the worker it stands.
func (d deriver) topic(h ledger.Header, f *training.Fact) (topic string, err error) {
	switch h.Kind {
	case training.KindAttendance:
		f.Kind = training.FactAttendance
		return field(h, "module"), nil
	case training.KindCredit:
		f.Kind = training.FactCredit
		return field(h, "module"), nil
	case training.KindObservation:
		f.Kind = training.FactObservation
		return h.Skill, observationCode(h.Data, f)
	case training.KindSignOff:
		f.Kind = training.FactSignOff
		f.Until, _ = civil.Parse(field(h, "until"))
		f.Cites, err = d.list(h.Data, "evidence")
		return h.Skill, err
	case training.KindWithdrawal:
		f.Kind = training.FactWithdrawal
		return h.Skill, nil
	case training.KindRestriction:
		f.Kind = training.FactRestriction
		return h.Skill, nil
	case training.KindLift:
		f.Kind = training.FactLift
		named, err := d.named(h.Data, "observation")
		f.Cites = []training.Ref{named}
		return h.Skill, err
	case training.KindRelease:
		f.Kind = training.FactRelease
		f.Until, _ = civil.Parse(field(h, "until"))
		var level training.Level
		err := level.UnmarshalText([]byte(field(h, "level")))
		f.Code = uint8(level)
		return ReleaseTopic(field(h, "group")), err
	case training.KindReleaseEnd:
		f.Kind = training.FactWithdrawal
		return ReleaseTopic(field(h, "group")), nil
	case KindJoin:
		if field(h, "saw") != "" {
			f.Kind = training.FactUse
			return UseTopic(field(h, "group")), nil
		}
	}
	return h.Kind, nil
}

func observationCode(data []byte, f *training.Fact) error {
	var o training.Outcome
	if err := o.UnmarshalText([]byte(ledger.Text(ledger.Lookup(data, "outcome")))); err != nil {
		return err
	}
	f.Code = uint8(o)
	if string(ledger.Lookup(data, "announced")) == "true" {
		f.Code |= training.Announced
	}
	return nil
}

func field(h ledger.Header, name string) string { return ledger.Text(ledger.Lookup(h.Data, name)) }

func (d deriver) named(data []byte, name string) (training.Ref, error) {
	return d.refs.parse(ledger.Text(ledger.Lookup(data, name)))
}

func (d deriver) list(data []byte, name string) ([]training.Ref, error) {
	texts, err := ledger.Strings(ledger.Lookup(data, name))
	if err != nil {
		return nil, err
	}
	cites := make([]training.Ref, len(texts))
	for i, s := range texts {
		var err error
		if cites[i], err = d.refs.parse(s); err != nil {
			return nil, err
		}
	}
	return cites, nil
}

func fingerprint(person string) uint32 {
	h := fnv.New32a()
	_, _ = h.Write([]byte(person))
	return h.Sum32()
}
