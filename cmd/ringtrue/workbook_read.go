package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
)

type readOptions struct {
	file                 string
	record, roster       bool
	maps                 []string
	dayFirst, monthFirst bool
	rows                 int
}

func newReadCmd(a *app) *cobra.Command {
	var o readOptions
	c := &cobra.Command{
		Use:   "read FILE",
		Short: "Read a filled form back, or bring along an office's own list with --roster",
		Long: `Read a filled form back. Without --record it shows what would be recorded, and every problem with its sheet and cell, and
changes nothing. With --record all of it is recorded, or nothing. A form is recorded once, by the id printed on it; read
again it says so. Who observed, taught or filled in stands on the form; --as says who enters it.

With --roster FILE is the blank list of workbook sheet roster, or an office's own spreadsheet or CSV file: people, past
trainings, tickets, equipment and saws. Columns are found by their titles; --map "Title=field" names one that is not, and
"Title=" leaves one out. Past trainings and sign-offs on paper arrive as earlier training accepted, with their document:
they stand for attendance, never for a sign-off of this book. What the book has already is left alone. Days such as
04/05/2026 are refused unless another day of the column shows the order, or --day-first or --month-first states it.

fields: ` + rosterFieldNames() + `

Exit status: 0 read, 1 refused (nothing recorded), 3 a tailgate check that holds.`,
		Example: `  ringtrue workbook read looks.xlsx
  ringtrue workbook read looks.xlsx --record
  ringtrue workbook read --roster office.csv --map "Cert. no.=document" --day-first --as okafor
  ringtrue workbook read --roster office.csv --day-first --rows 34 --as okafor --record`,
		Args: exactly(1, "FILE"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.file = args[0]
			if err := o.check(); err != nil {
				return err
			}
			a.trying = !o.record // a demo book may be tried, as nothing is kept
			if err := a.write(); err != nil {
				return err
			}
			return a.readFilled(o)
		},
	}
	f := c.Flags()
	f.BoolVar(&o.record, "record", false, "record it; without, it is only shown")
	f.BoolVar(&o.roster, "roster", false, "the file is a list of people, trainings, tickets, equipment or saws")
	f.StringArrayVar(&o.maps, "map", nil, `with --roster: "Title=field", which field a column is; repeatable`)
	f.BoolVar(&o.dayFirst, "day-first", false, "with --roster: 04/05/2026 is 4 May")
	f.BoolVar(&o.monthFirst, "month-first", false, "with --roster: 04/05/2026 is 5 April")
	f.IntVar(&o.rows, "rows", 0, "with --roster: how many lines the list has; another count is refused, so that a list cut short is seen")
	return c
}

func (o readOptions) check() error {
	if !o.roster && (len(o.maps) > 0 || o.dayFirst || o.monthFirst || o.rows != 0) {
		return usage("add --roster, or leave them out", "--map, --day-first, --month-first and --rows go with --roster")
	}
	if o.dayFirst && o.monthFirst {
		return usage("take one of them", "--day-first and --month-first do not go together")
	}
	if o.rows < 0 {
		return usage("count the lines below the titles", "--rows %d is no count", o.rows)
	}
	return nil
}

// readLine is one thing that a file records, and where it stands there.
type readLine struct {
	Where string   `json:"where"`
	What  string   `json:"what"`
	Notes []string `json:"notes"`
}

// reading is a file being read: what it would record, and what is wrong with it.
type reading struct {
	*app
	o       readOptions
	file    workbook.Filled
	p       problems
	said    map[string]*saidAt // messages, so that one that concerns many cells is said once, with their places
	told    int                // how often something was found wrong
	lines   []readLine
	refs    []training.Ref
	notes   []string
	asNamed string            // --as
	stops   []string          // what stops a skill whose critical point was missed, should the file be refused
	have    int               // how much of a list the book has already
	added   map[string]string // where each person put on the crew list stands
	holds   bool              // a tailgate check that holds
}

// readFilled reads a file and records it, or shows what it would record.
func (a *app) readFilled(o readOptions) error {
	r := &reading{app: a, o: o, said: map[string]*saidAt{}, asNamed: a.as, added: map[string]string{}}
	var err error
	if r.file, err = workbook.ReadFilled(o.file, workbook.ForeignLimits()); err != nil {
		return refuse("mend the file or save it again; nothing was recorded", "%v", err)
	}
	if o.roster {
		return r.roster()
	}
	return r.form()
}

// errTried ends a batch that is to leave nothing behind.
var errTried = errors.New("tried only")

// tryAll runs f as one batch: everything it records is kept, or nothing is. Without record nothing is in any case; nobody is asked to sign
// what will not be kept.
func (a *app) tryAll(record bool, f func() error) error {
	a.trying = !record
	err := a.book.Batch(a.ctx, func() error {
		if err := f(); err != nil || record {
			return err
		}
		return errTried
	})
	a.trying, a.people, a.keys = false, nil, nil
	if errors.Is(err, errTried) {
		return nil
	}
	return err
}

// saidAt is a message and the places it concerns.
type saidAt struct {
	found  int // its index among the problems
	places []string
}

// at says that something is wrong at a place; what is wrong at several is said once, with the places.
func (r *reading) at(place string, err error) {
	if err == nil {
		return
	}
	r.told++
	f, ours := errors.AsType[*failure](err)
	if !ours {
		r.p.add(fmt.Errorf("%s: %w", place, err))
		return
	}
	for line := range strings.SplitSeq(f.msg, "\n") {
		s, again := r.said[line]
		if !again {
			s = &saidAt{found: len(r.p.found)}
			r.said[line] = s
			r.p.add(&failure{f.code, place + ": " + line, f.next})
		}
		s.places = append(s.places, place)
		r.p.found[s.found] = errors.New(placeList(s.places) + ": " + line)
	}
}

// placeList names cells, the sheet only where it changes; of many the first.
func placeList(places []string) string {
	var list []string
	sheet := ""
	for _, p := range places {
		at := strings.LastIndex(p, "!") + 1
		on := p[:at]
		if at > 0 && on == sheet {
			p = p[at:]
		}
		sheet = on
		if !slices.Contains(list, p) {
			list = append(list, p)
		}
	}
	if more := len(list) - mostRowsNamed; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(list[:mostRowsNamed], ", "), more)
	}
	return strings.Join(list, ", ")
}

func (r *reading) wrong(place, next, format string, args ...any) {
	r.at(place, refuse(next, format, args...))
}

// did notes what was recorded, from which place.
func (r *reading) did(place, what string, notes []string, refs ...training.Ref) {
	r.lines = append(r.lines, readLine{place, what, append([]string{}, notes...)})
	r.refs = append(r.refs, refs...)
}

// by acts as somebody named in the file.
func (r *reading) by(who string, f func() error) error {
	r.as = who
	err := f()
	r.as = r.asNamed
	return err
}

// keepForm records that the form was read, by whoever enters it.
func (r *reading) keepForm(f store.Form) error {
	by, err := r.actor()
	if err != nil {
		return err
	}
	happened, err := r.happened("")
	if err != nil {
		return err
	}
	refs, err := r.append([]ledger.Entry{entry(store.KindForm, happened, by.ID, "", "", f)})
	r.refs = append(r.refs, refs...)
	return err
}

// mend is the next step where something in a file is wrong.
const mend = "mend the cells named and read it again; nothing was recorded"

// saidOnForm turns what commands say of --as into what a form says itself.
var saidOnForm = strings.NewReplacer("with --as", "on the form", ": --as OBSERVER", ": name them on the form")

// failed refuses with everything found in the file.
func (r *reading) failed() error {
	err := r.p.err()
	if f, ours := err.(*failure); ours {
		f.next = strings.TrimPrefix(f.next+"\n"+mend, "\n")
		if !r.o.roster {
			f.next = saidOnForm.Replace(f.next)
		}
		for _, n := range r.notes {
			if strings.HasSuffix(n, nameColumns) || strings.HasSuffix(n, giveTitles) { // what is missing may stand there
				f.next = n + "\n" + f.next
			}
		}
		if strings.Contains("\n"+strings.TrimSuffix(f.next, "\n"+mend)+"\n", "\n"+mend+"\n") {
			f.next = strings.TrimSuffix(f.next, "\n"+mend)
		}
		for _, stop := range r.stops {
			f.next = "NOT STOPPED: a critical point was missed; stop it now: " + stop + "\n" + f.next
		}
		f.code = exitRefused
	}
	return err
}

// readAnswer is what reading a file came to.
type readAnswer struct {
	Format   string     `json:"format"` // ringtrue/read/1
	File     string     `json:"file"`
	Form     string     `json:"form"` // "" for a list
	What     string     `json:"what"`
	Edition  string     `json:"curriculum"`
	Recorded bool       `json:"recorded"` // now
	Already  string     `json:"already"`  // the entry by which the form was recorded before, or ""
	Lines    []readLine `json:"lines"`
	Entries  []string   `json:"entries"`
	Notes    []string   `json:"notes"`
}

// answer prints what was read.
func (r *reading) answer(ans readAnswer) error {
	ans.Format, ans.File, ans.Lines, ans.Entries, ans.Notes = "ringtrue/read/1", r.o.file, append([]readLine{}, r.lines...), []string{}, append([]string{}, r.notes...)
	ans.Recorded = r.o.record && ans.Already == "" && len(r.refs) > 0
	if ans.Recorded {
		for _, ref := range r.refs {
			ans.Entries = append(ans.Entries, r.book.Name(ref))
		}
	}
	if r.json {
		return r.printJSON(ans)
	}
	r.mark()
	r.sayRead(ans)
	return nil
}

func (r *reading) sayRead(ans readAnswer) {
	what := "the list " + ans.File
	if ans.Form != "" {
		what = ans.What + " form " + ans.Form
	}
	switch {
	case ans.Already != "":
		r.say("%s is recorded already, entry %s: nothing is recorded again", what, ans.Already)
		return
	case ans.Recorded:
		r.say("recorded %s, %s", what, r.entryNumbers(r.refs))
	case len(r.lines) == 0 && r.have > 0:
		r.say("%s: the book has all of it already; nothing is recorded again", what)
	case len(r.lines) == 0:
		r.say("%s has nothing to record", what)
	default:
		r.say("%s would record this; nothing is recorded yet", what)
	}
	var rows [][]string
	for _, l := range ans.Lines {
		rows = append(rows, []string{l.Where, strings.Join(append([]string{l.What}, l.Notes...), "; ")})
	}
	if len(rows) > 0 {
		r.table([]string{"WHERE", "WHAT"}, rows)
	}
	for _, n := range ans.Notes {
		r.say("%s", n)
	}
	switch {
	case r.o.record || len(r.lines) == 0:
	case r.opening.Demo:
		r.say("an invented demo takes no real entries: record it in a book of your own")
	default:
		r.say("to record it: the same line with --record")
	}
}
