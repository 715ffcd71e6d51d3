package main

import (
	"encoding/hex"
	"fmt"
	"iter"
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func text(title string, width float64) workbook.Column {
	return workbook.Column{Title: title, Kind: workbook.Text, Width: width}
}

func of(title string, k workbook.Kind) workbook.Column {
	return workbook.Column{Title: title, Kind: k}
}

// standingTint marks the words of a standing: one tint for what is stopped, one for what ends soon.
var standingTint = workbook.Tint{Stopped: []string{string(training.Restricted)}, Soon: []string{string(training.Due)}}

// common are the columns that every sheet of entries begins with, and last those it ends with.
var (
	common = []workbook.Column{text("Entry", 10), of("Happened", workbook.Moment), of("Recorded", workbook.Moment), text("Worker", 22), text("Person id", 11)}
	last   = []workbook.Column{text("Recorded by", 22), text("Struck", 40)}
)

// entrySheet is a sheet with one row for each entry of a kind.
type entrySheet struct {
	name    string
	kind    string
	columns []workbook.Column
	cells   func(h ledger.Header, rows func(...any)) error // gives the kind's own cells, once for each row
}

// sheets lists all sheets but the closing one.
func (e *exporter) sheets() []workbook.Sheet {
	list := []workbook.Sheet{e.standing(), e.matrixSheet()}
	for _, s := range []entrySheet{
		{"Training", training.KindAttendance, []workbook.Column{text("Module", 9), text("Curriculum", 12), text("Language", 10), text("Understood", 40)}, e.attendance},
		{"Observations", training.KindObservation, []workbook.Column{text("Skill", 8), text("Outcome", 16), of("Announced", workbook.Flag), text("Block", 8), text("Criteria", 60), text("Reasons", 40), text("Curriculum", 12), text("House rules", 12)}, e.observation},
		{"Sign-offs", training.KindSignOff, []workbook.Column{text("Skill", 8), of("Until", workbook.Day), text("Decided", 18), text("Rests on", 40)}, e.signOff},
		{"Restrictions", training.KindRestriction, []workbook.Column{text("Skill", 8), text("Reason", 40), text("Told", 12)}, e.restriction},
		{"Lifts", training.KindLift, []workbook.Column{text("Skill", 8), text("Observation", 14), text("Reason", 40)}, e.liftCells},
		{"PPE", training.KindIssue, []workbook.Column{text("Item", 14), text("Size", 8), text("Standard", 18), text("Number", 12), text("Made", 10), of("Replace by", workbook.Day), text("Who says so", 18), of("Own", workbook.Flag), text("State", 12)}, e.piece},
		{"Joined", store.KindJoin, []workbook.Column{text("Check", 10), text("Block", 8), text("Saw", 8), text("Task group", 14), text("Level", 14), of("Late", workbook.Flag), text("Briefed by", 20), text("How", 34)}, e.joined},
	} {
		list = append(list, e.entries(s))
	}
	return append(list, e.tailgateSheet(), e.findingSheet(), e.struckSheet())
}

// entries makes the sheet of one kind of entry.
func (e *exporter) entries(s entrySheet) workbook.Sheet {
	columns := append(append(append([]workbook.Column{}, common...), s.columns...), last...)
	return workbook.Sheet{Name: s.name, Note: e.note(), Columns: columns, Rows: func(yield func([]any, error) bool) {
		for _, ref := range e.byKind[s.kind] {
			if !e.entryRows(s, ref, yield) {
				return
			}
		}
	}}
}

func (e *exporter) entryRows(s entrySheet, ref training.Ref, yield func([]any, error) bool) bool {
	h, err := e.book.Entry(e.ctx, ref, nil)
	if err != nil {
		return yield(nil, err)
	}
	struck, err := e.struckText(ref)
	if err != nil {
		return yield(nil, err)
	}
	goOn := true
	err = s.cells(h, func(own ...any) {
		row := append([]any{e.book.Short(ref), h.Happened, h.Recorded, e.people.byID[h.Worker].Name, h.Worker}, own...)
		goOn = goOn && yield(append(row, e.people.name(h.By), struck), nil)
	})
	if err != nil {
		return yield(nil, fmt.Errorf("entry %s: %w", e.book.Short(ref), err))
	}
	return goOn
}

// struckText says by which entry an entry was struck, as known by the moment asked.
func (e *exporter) struckText(ref training.Ref) (string, error) {
	by, ok := e.struck[ref]
	if !ok {
		return "", nil
	}
	h, err := e.book.Entry(e.ctx, by, nil)
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("by entry %s: %s", e.book.Short(by), ledger.Text(ledger.Lookup(h.Data, "reason"))), nil
}

// note stands above every sheet.
func (e *exporter) note() string {
	n := fmt.Sprintf("%s, as of %s, known by %s. Recorded as named, not personally signed.", e.opening.Company, e.askedText(e.asked.On), e.askedText(e.asked.Known))
	if e.opening.Demo {
		n = demoMark + ". " + n
	}
	return n
}

func (e *exporter) attendance(h ledger.Header, row func(...any)) error {
	var d training.Attendance
	err := ledger.Decode(h.Data, &d)
	row(d.Module, d.Edition, d.Language, d.Understood)
	return err
}

func (e *exporter) observation(h ledger.Header, row func(...any)) error {
	var d training.Observation
	err := ledger.Decode(h.Data, &d)
	var marks []string
	for _, m := range d.Marks {
		marks = append(marks, strings.TrimSpace(m.Criterion+" "+m.Seen+" "+m.Value))
	}
	row(h.Skill, d.Outcome.String(), d.Announced, d.Block, strings.Join(marks, "; "), strings.Join(d.Reasons, "; "), d.Edition, d.House)
	return err
}

func (e *exporter) signOff(h ledger.Header, row func(...any)) error {
	var d training.SignOff
	err := ledger.Decode(h.Data, &d)
	row(h.Skill, dayCell(d.Until), d.Independence, strings.Join(e.shorts(d.Evidence), ", "))
	return err
}

func (e *exporter) restriction(h ledger.Header, row func(...any)) error {
	var d training.Restriction
	err := ledger.Decode(h.Data, &d)
	row(h.Skill, d.Reason, d.Told)
	return err
}

func (e *exporter) liftCells(h ledger.Header, row func(...any)) error {
	var d training.Lift
	err := ledger.Decode(h.Data, &d)
	row(h.Skill, e.shorts([]string{d.Observation})[0], d.Reason)
	return err
}

func (e *exporter) piece(h ledger.Header, row func(...any)) error {
	var d training.Issue
	if err := ledger.Decode(h.Data, &d); err != nil {
		return err
	}
	list, ok := e.pieces[h.Worker]
	if !ok {
		var err error
		if list, err = e.pieceLines(h.Worker, e.asked); err != nil {
			return err
		}
		e.pieces[h.Worker] = list
	}
	state := ""
	for _, l := range list {
		if l.Entry == fmt.Sprint(h.Seq) || l.Entry == ledger.Ref(h.Origin, h.Seq) {
			state = l.State
		}
	}
	row(d.Item, d.Size, d.Standard, d.Serial, d.Made, dayCell(d.ReplaceBy), d.Source, d.Own, state)
	return nil
}

func (e *exporter) joined(h ledger.Header, row func(...any)) error {
	var d store.Join
	err := ledger.Decode(h.Data, &d)
	briefed := ""
	if d.BriefedBy != "" {
		briefed = e.people.name(d.BriefedBy)
	}
	row(e.shorts([]string{d.Tailgate})[0], d.Block, d.Saw, d.Group, d.Level, d.Late, briefed, d.How)
	return err
}

// dayCell turns a recorded day into a cell; nothing stays blank.
func dayCell(s string) any {
	d, err := civil.Parse(s)
	if err != nil {
		return nil
	}
	return d
}

// standing lists a row for each worker and skill, with reasons.
func (e *exporter) standing() workbook.Sheet {
	word := text("Standing", 15)
	word.Tint = standingTint
	return workbook.Sheet{Name: "Standing", Note: e.note(),
		Columns: []workbook.Column{text("Worker", 22), text("Person id", 11), text("Skill", 8), text("Title", 40), word, of("Changes on", workbook.Day), text("Reasons", 70)},
		Rows: func(yield func([]any, error) bool) {
			rows, err := e.matrix(e.std, standingOptions{}, e.asked)
			if err != nil {
				yield(nil, err)
				return
			}
			for _, r := range rows {
				s, _, _ := e.std.Skill(r.Skill)
				if !yield([]any{e.people.byID[r.Worker].Name, r.Worker, r.Skill, s.Title, r.Standing, dayCell(untilText(r)), strings.Join(r.Reasons, "; ")}, nil) {
					return
				}
			}
		}}
}

// matrixSheet is the same as a crew × skill table, a word in every cell.
func (e *exporter) matrixSheet() workbook.Sheet {
	columns := []workbook.Column{text("Worker", 22), text("Person id", 11)}
	var skills []string
	for _, m := range e.std.Modules {
		for _, s := range m.Skills {
			if s.Withdrawn {
				continue
			}
			c := text(s.ID, 13)
			c.Tint = standingTint
			columns, skills = append(columns, c), append(skills, s.ID)
		}
	}
	return workbook.Sheet{Name: "Crew and skills", Note: e.note(), Columns: columns, Rows: func(yield func([]any, error) bool) {
		rows, err := e.matrix(e.std, standingOptions{}, e.asked)
		if err != nil {
			yield(nil, err)
			return
		}
		for start := 0; start+len(skills) <= len(rows); start += len(skills) {
			line := []any{e.people.byID[rows[start].Worker].Name, rows[start].Worker}
			for _, r := range rows[start : start+len(skills)] {
				line = append(line, r.Standing)
			}
			if !yield(line, nil) {
				return
			}
		}
	}}
}

// checks reads the tailgate checks one after the other.
func (e *exporter) checks() iter.Seq2[tailgate, error] {
	return func(yield func(tailgate, error) bool) {
		for _, ref := range e.byKind[store.KindTailgate] {
			t, err := e.tailgate(ref)
			t.Assessment = t.Assessment.Named(e.people.handle)
			if !yield(t, err) {
				return
			}
		}
	}
}

func (e *exporter) tailgateSheet() workbook.Sheet {
	answer := text("Answer", 16)
	answer.Tint = workbook.Tint{Stopped: []string{string(hazards.Hold)}}
	return workbook.Sheet{Name: "Tailgates", Note: e.note(),
		Columns: []workbook.Column{text("Entry", 10), of("Happened", workbook.Moment), of("Recorded", workbook.Moment), text("Block", 8), answer, text("Sentence", 60),
			of("On the sheet", workbook.Number), of("Joined", workbook.Number), text("Accepted by", 14), text("Changed", 40), text("Recorded by", 22), text("Struck", 40)},
		Rows: func(yield func([]any, error) bool) {
			for t, err := range e.checks() {
				if err != nil {
					yield(nil, err)
					return
				}
				joined, err := e.joinsBy(t.ref, e.asked)
				struck, serr := e.struckText(t.ref)
				if !yield([]any{e.book.Short(t.ref), t.happened, t.recorded, t.Block, string(t.Assessment.Answer), t.Assessment.Sentence, len(t.Sheet.Crew), len(joined),
					t.Assessment.AcceptedBy, e.people.inText(strings.Join(t.Changed, "; ")), e.people.name(t.by), struck}, firstError(err, serr)) {
					return
				}
			}
		}}
}

func (e *exporter) findingSheet() workbook.Sheet {
	effect := text("Effect", 13)
	effect.Tint = workbook.Tint{Stopped: []string{string(hazards.StopSite), string(hazards.StopPerson), string(hazards.StopSaw)}}
	return workbook.Sheet{Name: "Findings", Note: e.note(),
		Columns: []workbook.Column{text("Check", 10), of("Happened", workbook.Moment), text("Block", 8), text("Topic", 12), effect, text("About", 14), text("What", 60),
			text("Level before", 13), text("Level after", 13), text("Because", 50), text("Lowered by", 50), text("Controls", 40)},
		Rows: func(yield func([]any, error) bool) {
			for t, err := range e.checks() {
				if err != nil {
					yield(nil, err)
					return
				}
				for _, f := range t.Assessment.Findings {
					about := strings.TrimSpace(f.Of + " " + f.Subject)
					if !yield([]any{e.book.Short(t.ref), t.happened, t.Block, f.Topic, string(f.Effect), about, f.What, f.LevelBefore, f.LevelAfter,
						strings.Join(f.Reasons, "; "), strings.Join(f.Lower, "; "), strings.Join(f.Controls, "; ")}, nil) {
						return
					}
				}
			}
		}}
}

func (e *exporter) struckSheet() workbook.Sheet {
	return e.entries(entrySheet{"Struck entries", store.KindStrike, []workbook.Column{text("Struck entry", 14), text("Kind", 14), text("Reason", 60)}, func(h ledger.Header, row func(...any)) error {
		var d store.Strike
		if err := ledger.Decode(h.Data, &d); err != nil {
			return err
		}
		ref, err := e.book.Ref(d.Entry)
		if err != nil {
			return err
		}
		was, err := e.book.Entry(e.ctx, ref, nil)
		row(e.shorts([]string{d.Entry})[0], was.Kind, d.Reason)
		return err
	}})
}

// closing is the sheet that ties the workbook to the book: head of each ledger, control totals, as-of dates, tool.
func (e *exporter) closing(written []workbook.Count) workbook.Sheet {
	rows := [][]any{
		{"company", e.opening.Company}, {"province, state or country", e.opening.Jurisdiction},
		{"as of", e.askedText(e.asked.On)}, {"known by", e.askedText(e.asked.Known)}, {"days in", e.book.Zone().String()},
		{"curriculum edition", e.std.Curriculum.Edition}, {"house rules edition", e.std.House.Edition},
		{"made from the book as of its newest entry", e.made.Format(time.RFC3339)}, {"tool", toolVersion},
	}
	for _, h := range e.heads {
		rows = append(rows, []any{"ledger", h.Origin}, []any{"entries of " + h.Origin, fmt.Sprint(h.Size)}, []any{"root of " + h.Origin + " (hex)", hex.EncodeToString(h.Root[:])})
	}
	for _, c := range written {
		rows = append(rows, []any{"rows in sheet " + c.Sheet, fmt.Sprint(c.Rows)})
	}
	rows = append(rows, []any{"caution", "This is what the book recorded. It does not say that work was or is safe. The regulation, the maker's manual and a competent person come first."})
	return workbook.Sheet{Name: "Head", Note: e.note(), Columns: []workbook.Column{text("What", 44), text("Value", 90)}, Rows: func(yield func([]any, error) bool) {
		for _, r := range rows {
			if !yield(r, nil) {
				return
			}
		}
	}}
}
