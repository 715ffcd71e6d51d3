package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// callsWithin is how far back mornings with somebody alone are looked at: 12 months, company choice.
const callsWithin = 365

// heldRecords gathers what a place's duties are held against: the people on the crew list with their records, and the records of the
// crew as a whole.
func (a *app) heldRecords(asked training.Asked) (people []rules.Person, crew []rules.Held, err error) {
	list, err := a.crewList(asked)
	if err != nil {
		return nil, nil, err
	}
	crew, alone, err := a.crewRecords(asked)
	if err != nil {
		return nil, nil, err
	}
	for _, w := range list {
		if w.Left != "" {
			continue
		}
		topics, err := a.book.Facts(a.ctx, asked, w.Worker)
		if err != nil {
			return nil, nil, err
		}
		p, err := a.dutiesPerson(w.Worker, topics, asked)
		if err != nil {
			return nil, nil, err
		}
		p.Alone = alone[w.Worker]
		if p.Held, err = a.heldBy(w.Worker, topics, asked); err != nil {
			return nil, nil, err
		}
		people = append(people, p)
	}
	return people, crew, nil
}

// dutiesPerson says whether somebody is new or young to the duties of a place. Whom init named came with the company.
func (a *app) dutiesPerson(worker string, topics store.Topics, asked training.Asked) (rules.Person, error) {
	p := rules.Person{ID: worker}
	var rec training.Worker
	for _, f := range standing(topics[training.KindWorker], asked) {
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return p, err
		}
	}
	p.Young = isYoung(rec.YoungUntil, asked)
	editions, err := a.adopted(asked, store.KindRules)
	if err != nil {
		return p, err
	}
	if slices.ContainsFunc(topics[training.KindAppointment], func(f training.Fact) bool { return f.At == editions[0].At }) {
		return p, nil
	}
	since, err := a.dutiesSince(editions)
	if err != nil {
		return p, err
	}
	first, err := civil.Parse(rec.From)
	p.New = err == nil && training.NewHere(first, since, asked.Day)
	return p, nil
}

// heard lists the topics of all orientations of one person, as written.
func (a *app) heard(topics store.Topics, asked training.Asked) ([]string, error) {
	var list []string
	for _, f := range standing(topics[training.KindOrientation], asked) {
		var rec training.Orientation
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return nil, err
		}
		list = append(list, rec.Topics...)
	}
	return list, nil
}

// asNew fills in whether somebody is new or young here, and what their orientations covered.
func (a *app) asNew(w *hazards.Worker, topics store.Topics, asked training.Asked) error {
	p, err := a.dutiesPerson(w.ID, topics, asked)
	if err != nil {
		return err
	}
	w.New, w.Young = p.New, p.Young
	w.Heard, err = a.heard(topics, asked)
	return err
}

// leavesOut is what the place asks that somebody new or young hears before work and their orientations leave out, with the clause.
func (a *app) leavesOut(worker string, topics store.Topics, asked training.Asked) (lacks []string, cite string, err error) {
	w := hazards.Worker{ID: worker}
	if err := a.asNew(&w, topics, asked); err != nil {
		return nil, "", err
	}
	duties, err := a.dutiesHere(asked)
	if err != nil {
		return nil, "", err
	}
	lacks, cite = hazards.LeftOut(w, duties)
	return lacks, cite, nil
}

// dutiesHere are the duties of the book's place by the edition in force.
func (a *app) dutiesHere(asked training.Asked) ([]rules.Duty, error) {
	e, err := a.localRules(asked)
	return e.Duties(a.opening.Jurisdiction), err
}

// dutiesSince is the day of the first edition of the local rules that asks anything of records here, civil.None where none does.
func (a *app) dutiesSince(editions []training.Fact) (civil.Day, error) {
	for _, f := range editions {
		e, err := a.rulesEdition(f.Entry)
		if err != nil {
			return civil.None, err
		}
		if len(e.Duties(a.opening.Jurisdiction)) > 0 {
			return f.Day, nil
		}
	}
	return civil.None, nil
}

// rulesEdition reads an edition of the local rules once.
func (a *app) rulesEdition(ref training.Ref) (rules.Edition, error) {
	var e rules.Edition
	if known, ok := a.editions[ref]; ok {
		return known.(rules.Edition), nil
	}
	if _, err := a.book.Entry(a.ctx, ref, &e); err != nil {
		return e, err
	}
	a.editions[ref] = e
	return e, nil
}

// heldBy lists the records about one person. Of looks, sign-offs and mornings joined only the newest of a kind is named.
func (a *app) heldBy(worker string, topics store.Topics, asked training.Asked) ([]rules.Held, error) {
	var list []rules.Held
	newest := map[string]training.Fact{}
	for topic, facts := range topics {
		for _, f := range standing(facts, asked) {
			switch f.Kind {
			case training.FactAttendance, training.FactCredit:
				held, err := a.taught(topic, f, asked)
				if err != nil {
					return nil, err
				}
				list = append(list, held...)
			case training.FactObservation:
				newestOf(newest, training.KindObservation, f)
			case training.FactSignOff:
				newestOf(newest, training.KindSignOff, f)
			default:
				if topic == store.KindJoin {
					newestOf(newest, store.KindTailgate, f)
				}
			}
		}
	}
	for kind, f := range newest {
		list = append(list, rules.Held{Of: kind, Entry: a.book.Short(f.Entry), Age: int(asked.Day - f.Day), Fields: []string{rules.ByWhom, rules.When},
			Ended: kind == training.KindSignOff && f.Until != civil.None && f.Until <= asked.Day})
	}
	papers, err := a.heldPapers(worker, topics, asked)
	return append(list, papers...), err
}

func newestOf(newest map[string]training.Fact, kind string, f training.Fact) {
	if last, ok := newest[kind]; !ok || f.At >= last.At {
		newest[kind] = f
	}
}

// taught is an attendance or an accepted earlier training, as that and as anything that was taught. It covers what the module's title
// and its skills say.
func (a *app) taught(module string, f training.Fact, asked training.Asked) ([]rules.Held, error) {
	h, err := a.book.Entry(a.ctx, f.Entry, nil)
	if err != nil {
		return nil, err
	}
	field := func(name string) string { return ledger.Text(ledger.Lookup(h.Data, name)) }
	language, understood := field("language"), field("understood")
	held := rules.Held{Of: training.KindAttendance, Entry: a.book.Short(f.Entry), Age: int(asked.Day - f.Day),
		Fields: saidIn(h.Key, map[string]string{rules.Language: language, rules.Understood: understood, rules.Document: field("document")})}
	if f.Kind == training.FactCredit {
		held.Of = training.KindCredit
	}
	c, err := a.curriculum(asked)
	if m, known := c.Module(module); known {
		held.Topics = []string{m.Title}
	}
	list := []rules.Held{held, as("taught", held)}
	if held.Of == training.KindAttendance && language != "" && understood != "" {
		list = append(list, as("understood", held))
	}
	return list, err
}

// as is the same record as one of another kind.
func as(kind string, h rules.Held) rules.Held {
	h.Of = kind
	return h
}

// saidIn lists which fields of a record say something. Who and when stand on every entry.
func saidIn(key string, fields map[string]string) []string {
	out := []string{rules.ByWhom, rules.When}
	if key != "" {
		out = append(out, rules.Signed)
	}
	for _, f := range rules.Fields {
		if strings.TrimSpace(fields[f.ID]) != "" {
			out = append(out, f.ID)
		}
	}
	return out
}

// heldPapers lists orientations, tickets and appointments.
func (a *app) heldPapers(worker string, topics store.Topics, asked training.Asked) ([]rules.Held, error) {
	var list []rules.Held
	for _, f := range standing(topics[training.KindOrientation], asked) {
		var rec training.Orientation
		h, err := a.book.Entry(a.ctx, f.Entry, &rec)
		if err != nil {
			return nil, err
		}
		held := rules.Held{Of: training.KindOrientation, Entry: a.book.Short(f.Entry), Age: int(asked.Day - f.Day), Topics: rec.Topics,
			Fields: saidIn(h.Key, map[string]string{rules.Language: rec.Language, rules.Understood: rec.Understood})}
		list = append(list, held, as("taught", held))
	}
	tickets, err := a.tickets(topics, asked)
	if err != nil {
		return nil, err
	}
	for _, t := range tickets {
		list = append(list, rules.Held{Of: training.KindTicket, Entry: t.Entry, Topics: []string{t.What}, Ended: !t.Valid,
			Fields: saidIn("", map[string]string{rules.Until: t.Until, rules.Document: t.Document})})
	}
	named, err := a.appointmentsOf(worker, asked)
	for _, p := range named {
		list = append(list, rules.Held{Of: training.KindAppointment, Entry: a.book.Short(p.ref), Fields: saidIn("", map[string]string{rules.Until: p.Until})})
	}
	return list, err
}

// crewRecords lists what is held for all together: events, emergency texts, and how calls of somebody alone were arranged and kept; and
// who was alone.
func (a *app) crewRecords(asked training.Asked) (list []rules.Held, alone map[string]bool, err error) {
	events, err := a.listed(asked, training.KindEvent)
	if err != nil {
		return nil, nil, err
	}
	if events = standing(events, asked); len(events) > 0 {
		last := events[len(events)-1]
		list = append(list, rules.Held{Of: training.KindEvent, Entry: a.book.Short(last.Entry), Age: int(asked.Day - last.Day), Fields: saidIn("", nil)})
	}
	cards, err := a.cards(asked)
	if err != nil {
		return nil, nil, err
	}
	alone = map[string]bool{}
	for _, c := range cards {
		list = append(list, rules.Held{Of: rules.EmergencyText, Entry: "block " + c.ID,
			Fields: saidIn("", map[string]string{rules.CallHelp: c.Call, rules.WayIn: c.Road, rules.WayOut: c.Meeting})})
		calls, err := a.callsOf(c.ID, alone, asked)
		if err != nil {
			return nil, nil, err
		}
		list = append(list, calls...)
	}
	return list, alone, nil
}

// callsOf looks through the mornings of a block on which one person was alone with a saw.
func (a *app) callsOf(block string, alone map[string]bool, asked training.Asked) ([]rules.Held, error) {
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return nil, err
	}
	var list []rules.Held
	for _, f := range standing(facts, asked) {
		if asked.Day-f.Day > callsWithin {
			continue
		}
		t, err := a.tailgate(f.Entry)
		if err != nil {
			return nil, err
		}
		who, is := t.Sheet.AloneWithSaw()
		if !is {
			continue
		}
		day, err := a.course(t, asked)
		if err != nil {
			return nil, err
		}
		alone[who] = true
		list = append(list, callsOn(a.book.Short(f.Entry), day)...)
	}
	return list, nil
}

// callsOn says how calls were arranged on one morning, and what came of them.
func callsOn(entry string, day course) []rules.Held {
	answer := func(id string) string {
		if s := day.Sheet.Said(id); s.Is == hazards.Told {
			return s.Value
		}
		return ""
	}
	list := []rules.Held{{Of: rules.CallsArranged, Entry: entry, Fields: saidIn("", map[string]string{rules.Interval: answer(hazards.CheckIn),
		rules.Contact: answer(hazards.Outside), rules.MissedCall: answer(hazards.MissedPlan), rules.TestedCall: answer(hazards.OutsideTested)})}}
	ended := ""
	if len(day.closes) > 0 {
		ended = "counted"
	}
	if len(day.calls) > 0 || ended != "" {
		list = append(list, rules.Held{Of: rules.CallsKept, Entry: entry, Fields: saidIn("", map[string]string{rules.EndOfShift: ended})})
	}
	return list
}
