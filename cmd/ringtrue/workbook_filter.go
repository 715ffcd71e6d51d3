package main

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// filterOptions narrow a workbook.
type filterOptions struct{ from, to, crew, worker, block string }

// filter leaves out of the sheets what names a day, a worker or a block, and not one asked for. What names none stays, so
// that a narrow workbook shows too much rather than too little.
type filter struct {
	from, to civil.Day       // None: no bound; to is the last day
	workers  map[string]bool // nil: everybody
	block    string
	words    []string // what was asked for, for the note of every sheet

	first, end int64           // seconds of the days
	events     map[string]bool // events and actions left out, for what names them
	checks     map[string]bool // tailgate checks left out
}

func (e *exporter) newFilter(o filterOptions) (filter, error) {
	f := filter{block: o.block, events: map[string]bool{}, checks: map[string]bool{}, first: -1 << 62, end: 1<<62 - 1}
	var p problems
	var err error
	f.from, err = parseDay("from", o.from)
	p.add(err)
	f.to, err = parseDay("to", o.to)
	p.add(err)
	if f.from != civil.None && f.to != civil.None && f.to < f.from {
		p.add(usage("name a later day with --to", "--to %s lies before --from %s", f.to, f.from))
	}
	if f.from != civil.None && f.from > e.asked.Day {
		p.add(refuse("name an earlier day with --from, or a later one with --on", "--from %s lies after %s, the day of which the workbook tells", f.from, e.asked.Day))
	}
	p.add(e.knownBlock(o.block))
	p.add(e.filterPeople(&f, o))
	if f.from != civil.None {
		f.first = f.from.Start(e.book.Zone()).Unix()
		f.words = append(f.words, "from "+f.from.String())
	}
	if f.to != civil.None {
		f.end = f.to.End(e.book.Zone()).Unix()
		f.words = append(f.words, "to "+f.to.String())
	}
	if f.block != "" {
		f.words = append(f.words, "block "+f.block)
	}
	return f, p.err()
}

// filterPeople takes the worker, or the people of the crew, into the filter.
func (e *exporter) filterPeople(f *filter, o filterOptions) error {
	var p problems
	who := ""
	if o.worker != "" {
		one, err := e.person(o.worker)
		p.add(err)
		if err == nil {
			who, f.workers = one.Handle, map[string]bool{one.ID: true}
			f.words = append(f.words, "worker "+who)
		}
	}
	if o.crew == "" {
		return p.err()
	}
	crew, of, err := e.crewNamed(o.crew)
	p.add(err)
	if err := p.err(); err != nil {
		return err
	}
	if f.workers != nil {
		maps.DeleteFunc(of, func(id string, _ bool) bool { return !f.workers[id] })
	}
	if len(of) == 0 {
		return refuse("leave out --crew or --worker, or see: ringtrue worker list", "%s is not on crew %s", who, crew)
	}
	f.workers, f.words = of, append(f.words, "crew "+crew)
	return nil
}

// crewNamed finds a crew, capitals or not, and who is on it.
func (e *exporter) crewNamed(typed string) (name string, of map[string]bool, err error) {
	of = map[string]bool{}
	if name, err = crewMeant(e.onList, typed); err != nil {
		return "", nil, err
	}
	for _, w := range e.onList {
		if w.Crew == name {
			of[w.Worker] = true
		}
	}
	return name, of, nil
}

// note is what every sheet of a narrowed workbook says first.
func (f *filter) note() string {
	if len(f.words) == 0 {
		return ""
	}
	return "FILTERED: " + strings.Join(f.words, ", ") + ". "
}

func (f *filter) who(id string) bool   { return id == "" || f.workers == nil || f.workers[id] }
func (f *filter) where(id string) bool { return id == "" || f.block == "" || f.block == id }

// when reports whether an entry happened on a day asked for.
func (f *filter) when(h ledger.Header) bool {
	at := h.Happened.Unix()
	return at >= f.first && at < f.end
}

// keeps reports whether an entry stays. Equipment issued before the first day may still be held, so it stays.
func (f *filter) keeps(h ledger.Header) bool {
	if len(f.words) == 0 || h.Kind == store.KindStrike { // a strike stays with what it struck
		return true
	}
	if !f.when(h) && (h.Kind != training.KindIssue || h.Happened.Unix() >= f.end) {
		return false
	}
	if !f.who(h.Worker) || f.block != "" && !f.where(fieldOf(h, "block")) {
		return false
	}
	return f.keepsBy(h)
}

// keepsBy looks at what an entry without a worker names: who is on a check, and the check or event it belongs to.
func (f *filter) keepsBy(h ledger.Header) bool {
	name := ledger.Ref(h.Origin, h.Seq)
	kept := true
	switch h.Kind {
	case store.KindTailgate:
		kept = f.someOf(crewOf(h))
		f.checks[name] = !kept
	case store.KindChange, store.KindClose, store.KindJoin:
		kept = h.Worker != "" || !f.checks[fieldOf(h, "tailgate")]
	case training.KindEvent:
		kept = f.who(fieldOf(h, "told_by"))
		f.events[name] = !kept
	case training.KindAction:
		kept = !f.events[fieldOf(h, "event")]
		f.events[name] = !kept
	case training.KindActionDone, training.KindActionChecked:
		kept = !f.events[fieldOf(h, "action")]
	case training.KindEventClosed:
		kept = !f.events[fieldOf(h, "event")]
	}
	return kept
}

func (f *filter) someOf(crew []string) bool {
	return len(crew) == 0 || slices.ContainsFunc(crew, f.who)
}

// crewOf lists the workers on the sheet of a tailgate check.
func crewOf(h ledger.Header) (ids []string) {
	var crew []struct {
		Worker string `json:"worker"`
	}
	_ = json.Unmarshal(ledger.Lookup(ledger.Lookup(h.Data, "sheet"), "crew"), &crew) // a list that cannot be read is empty; verify names it
	for _, c := range crew {
		ids = append(ids, c.Worker)
	}
	return ids
}

// fieldOf reads a text of an entry's data, flagOf a yes or no, listOf a list of texts. What is not there is empty.
func fieldOf(h ledger.Header, name string) string {
	return ledger.Text(ledger.Lookup(h.Data, name))
}

func flagOf(h ledger.Header, name string) bool { return string(ledger.Lookup(h.Data, name)) == "true" }

func listOf(data []byte, name string) (list []string) {
	_ = json.Unmarshal(ledger.Lookup(data, name), &list) // as in crewOf
	return list
}

// filterHelp says how a workbook is narrowed.
const filterHelp = `With --from, --to, --crew, --worker or --block rows are left out that name a day, a worker or a block, and not one
asked for; rows that name none stay. A narrowed workbook says so on every sheet and still holds every leaf.`
