//go:build outside

package main

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// sheetExpected is what a reader must find on one sheet: its titles and, below them, its rows as text.
type sheetExpected struct {
	name   string
	titles []string
	rows   [][]string
}

// dumped is one line of `book dump`.
type dumped struct {
	Origin string
	Seq    int64
	Entry  struct {
		By, Kind, Skill, Worker string
		Happened, Recorded      time.Time
		Data                    fields
	}
}

// fields is the data of an entry.
type fields map[string]any

func (f fields) text(name string) string {
	s, _ := f[name].(string)
	return s
}

func (f fields) flag(name string) string {
	return strings.ToUpper(fmt.Sprint(f[name] == true))
}

func (f fields) part(name string) fields {
	m, _ := f[name].(map[string]any)
	return m
}

func (f fields) parts(name string) (out []fields) {
	list, _ := f[name].([]any)
	for _, one := range list {
		m, _ := one.(map[string]any)
		out = append(out, m)
	}
	return out
}

func (f fields) texts(name string) (out []string) {
	list, _ := f[name].([]any)
	for _, one := range list {
		out = append(out, fmt.Sprint(one))
	}
	return out
}

// dump is a book as `book dump` tells it, seen from the moment asked.
type dump struct {
	entries []dumped // by the moment asked, in the order of the ledger
	origin  string
	zone    *time.Location
	day     string // the day asked, YYYY-MM-DD
	names   map[string]string
	handles map[string]string
	struck  map[string]string // entry by its number -> what the column Struck says
}

// readDump reads the dump and leaves out what had not happened, or was not known, by the day asked (nil: now).
func readDump(t *testing.T, b *bench, asked []string) *dump {
	t.Helper()
	d := &dump{names: map[string]string{}, handles: map[string]string{}, struck: map[string]string{}}
	var all []dumped
	for line := range strings.Lines(b.run(exitDone, "book", "dump")) {
		var e dumped
		require.NoError(t, json.Unmarshal([]byte(line), &e))
		all = append(all, e)
	}
	require.Equal(t, "book", all[0].Entry.Kind)
	zone, err := time.LoadLocation(all[0].Entry.Data.text("zone"))
	require.NoError(t, err)
	d.zone, d.origin, d.day = zone, all[0].Origin, b.now.In(zone).Format(time.DateOnly)
	if asked != nil {
		d.day = asked[1]
	}
	for _, e := range all {
		by := func(m time.Time) bool { return m.In(zone).Format(time.DateOnly) <= d.day }
		if by(e.Entry.Recorded) && e.Entry.Kind == "strike" {
			d.struck[d.short(e.Entry.Data.text("entry"))] = fmt.Sprintf("by entry %d: %s", e.Seq, e.Entry.Data.text("reason"))
		}
		if by(e.Entry.Recorded) && by(e.Entry.Happened) {
			d.entries = append(d.entries, e)
		}
	}
	for _, w := range object[struct{ Rows []onList }](b, "worker", "list").Rows {
		d.names[w.Worker], d.handles[w.Worker] = w.Name, w.Short
	}
	return d
}

// of gives the entries of a kind.
func (d *dump) of(kind string) (out []dumped) {
	for _, e := range d.entries {
		if e.Entry.Kind == kind {
			out = append(out, e)
		}
	}
	return out
}

func (d *dump) short(ref string) string { return strings.TrimPrefix(ref, d.origin+"#") }

func (d *dump) shorts(refs []string) string {
	var out []string
	for _, r := range refs {
		out = append(out, d.short(r))
	}
	return strings.Join(out, ", ")
}

func (d *dump) clock(t time.Time) string { return t.In(d.zone).Format("2006-01-02 15:04:05") }

func (d *dump) person(id string) string { return d.names[id] + " (" + d.handles[id] + ")" }

var personMark = regexp.MustCompile(`\{(p[0-9a-v]{7})\}`)

// named puts short ids for the person ids in a sentence of an assessment.
func (d *dump) named(s string) string {
	return personMark.ReplaceAllStringFunc(s, func(m string) string { return d.handles[m[1:len(m)-1]] })
}

func (d *dump) allNamed(list []string) string {
	out := slices.Clone(list)
	for i := range out {
		out[i] = d.named(out[i])
	}
	return strings.Join(out, "; ")
}

// table makes the sheet of a kind of entry about people; own gives the kind's own cells.
func (d *dump) table(name, kind, own string, cells func(e dumped) []string) sheetExpected {
	titles := append([]string{"Entry", "Happened", "Recorded", "Worker", "Person id"}, strings.Split(own, ",")...)
	s := sheetExpected{name: name, titles: append(titles, "Recorded by", "Struck")}
	for _, e := range d.of(kind) {
		seq := fmt.Sprint(e.Seq)
		row := append([]string{seq, d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded), d.names[e.Entry.Worker], e.Entry.Worker}, cells(e)...)
		s.rows = append(s.rows, append(row, d.person(e.Entry.By), d.struck[seq]))
	}
	return s
}

// expectedSheets is all that a workbook of the book must hold beside its sheet Head.
func expectedSheets(t *testing.T, b *bench, asked []string) []sheetExpected {
	t.Helper()
	d := readDump(t, b, asked)
	return append(standingSheets(b, d, asked),
		d.table("Training", "attendance", "Module,Curriculum,Language,Understood", func(e dumped) []string {
			f := e.Entry.Data
			return []string{f.text("module"), f.text("edition"), f.text("language"), f.text("understood")}
		}),
		d.table("Observations", "observation", "Skill,Outcome,Announced,Block,Criteria,Reasons,Curriculum,House rules", lookCells),
		d.table("Sign-offs", "sign-off", "Skill,Until,Decided,Rests on", func(e dumped) []string {
			f := e.Entry.Data
			return []string{e.Entry.Skill, f.text("until"), f.text("independence"), d.shorts(f.texts("evidence"))}
		}),
		d.table("Restrictions", "restriction", "Skill,Reason,Told", func(e dumped) []string {
			return []string{e.Entry.Skill, e.Entry.Data.text("reason"), e.Entry.Data.text("told")}
		}),
		d.table("Lifts", "lift", "Skill,Observation,Reason", func(e dumped) []string {
			return []string{e.Entry.Skill, d.short(e.Entry.Data.text("observation")), e.Entry.Data.text("reason")}
		}),
		d.table("PPE", "ppe-issue", "Item,Size,Standard,Number,Made,Replace by,Who says so,Own,State", d.issued),
		d.table("Joined", "join", "Check,Block,Saw,Task group,Level,Late,Briefed by,How", d.joinCells),
		d.tailgates(), d.findings(),
		d.table("Struck entries", "strike", "Struck entry,Kind,Reason", func(e dumped) []string {
			ref := d.short(e.Entry.Data.text("entry"))
			at := slices.IndexFunc(d.entries, func(o dumped) bool { return fmt.Sprint(o.Seq) == ref })
			require.GreaterOrEqual(t, at, 0, "entry %s", ref)
			return []string{ref, d.entries[at].Entry.Kind, e.Entry.Data.text("reason")}
		}))
}

func lookCells(e dumped) []string {
	f := e.Entry.Data
	var marks []string
	for _, m := range f.parts("marks") {
		marks = append(marks, strings.TrimSpace(m.text("criterion")+" "+m.text("seen")+" "+m.text("value")))
	}
	return []string{e.Entry.Skill, f.text("outcome"), f.flag("announced"), f.text("block"), strings.Join(marks, "; "),
		strings.Join(f.texts("reasons"), "; "), f.text("edition"), f.text("house")}
}

// issued tells a piece of equipment and what became of it by the day asked.
func (d *dump) issued(e dumped) []string {
	f := e.Entry.Data
	return []string{f.text("item"), f.text("size"), f.text("standard"), f.text("serial"), f.text("made"), f.text("replace_by"), f.text("source"), f.flag("own"), d.state(e)}
}

func (d *dump) state(e dumped) string {
	if d.struck[fmt.Sprint(e.Seq)] != "" {
		return "" // it never was issued
	}
	looked, returned, condemned := e.Entry.Happened, false, false
	for _, o := range append(d.of("ppe-inspection"), d.of("ppe-return")...) {
		f := o.Entry.Data
		if d.short(f.text("issue")) != fmt.Sprint(e.Seq) || d.struck[fmt.Sprint(o.Seq)] != "" {
			continue
		}
		condemned = condemned || f.text("condition") == "condemned"
		returned = returned || o.Entry.Kind == "ppe-return"
		if o.Entry.Kind == "ppe-inspection" && o.Entry.Happened.After(looked) {
			looked = o.Entry.Happened
		}
	}
	replace := e.Entry.Data.text("replace_by")
	switch {
	case condemned:
		return "condemned"
	case returned:
		return "returned"
	case replace != "" && replace <= d.day:
		return "replace"
	case looked.In(d.zone).AddDate(0, 0, d.lookDays()).Format(time.DateOnly) < d.day:
		return "look due"
	}
	return "held"
}

// lookDays is the house rule for the longest time between looks at a piece of equipment.
func (d *dump) lookDays() (days int) {
	for _, n := range d.of("house")[0].Entry.Data.parts("numbers") {
		if n.text("key") == "ppe-inspection-days" {
			days, _ = strconv.Atoi(strings.TrimSuffix(n.text("value"), "days"))
		}
	}
	return days
}

func (d *dump) joinCells(e dumped) []string {
	f := e.Entry.Data
	briefed := ""
	if f.text("briefed_by") != "" {
		briefed = d.person(f.text("briefed_by"))
	}
	return []string{d.short(f.text("tailgate")), f.text("block"), f.text("saw"), f.text("group"), f.text("level"), f.flag("late"), briefed, f.text("how")}
}

// joined counts who had acknowledged a check.
func (d *dump) joined(check dumped) (n int) {
	for _, j := range d.of("join") {
		if d.short(j.Entry.Data.text("tailgate")) == fmt.Sprint(check.Seq) && d.struck[fmt.Sprint(j.Seq)] == "" {
			n++
		}
	}
	return n
}

func (d *dump) tailgates() sheetExpected {
	s := sheetExpected{name: "Tailgates", titles: strings.Split("Entry,Happened,Recorded,Block,Answer,Sentence,On the sheet,Joined,Accepted by,Changed,Recorded by,Struck", ",")}
	for _, e := range d.of("tailgate") {
		f, seq := e.Entry.Data, fmt.Sprint(e.Seq)
		a := f.part("assessment")
		s.rows = append(s.rows, []string{seq, d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded), f.text("block"), a.text("answer"), d.named(a.text("sentence")),
			fmt.Sprint(len(f.part("sheet").parts("crew"))), fmt.Sprint(d.joined(e)), d.handles[a.text("accepted_by")], d.allNamed(f.texts("changed")),
			d.person(e.Entry.By), d.struck[seq]})
	}
	return s
}

func (d *dump) findings() sheetExpected {
	s := sheetExpected{name: "Findings", titles: strings.Split("Check,Happened,Block,Topic,Effect,About,What,Level before,Level after,Because,Lowered by,Controls", ",")}
	for _, e := range d.of("tailgate") {
		for _, f := range e.Entry.Data.part("assessment").parts("findings") {
			about := f.text("subject")
			if f.text("of") == "person" {
				about = d.handles[about]
			}
			s.rows = append(s.rows, []string{fmt.Sprint(e.Seq), d.clock(e.Entry.Happened), e.Entry.Data.text("block"), f.text("topic"), f.text("effect"),
				strings.TrimSpace(f.text("of") + " " + about), d.named(f.text("what")), f.text("level_before"), f.text("level_after"),
				d.allNamed(f.texts("reasons")), d.allNamed(f.texts("lower")), d.allNamed(f.texts("controls"))})
		}
	}
	return s
}

// standingSheets are the rows of `standing --json`, as a list and as a crew by skill table.
func standingSheets(b *bench, d *dump, asked []string) []sheetExpected {
	list := sheetExpected{name: "Standing", titles: []string{"Worker", "Person id", "Skill", "Title", "Standing", "Changes on", "Reasons"}}
	table := sheetExpected{name: "Crew and skills", titles: []string{"Worker", "Person id"}}
	titles := map[string]string{}
	for _, m := range d.of("curriculum")[0].Entry.Data.parts("modules") {
		for _, s := range m.parts("skills") {
			titles[s.text("id")] = s.text("title")
			table.titles = append(table.titles, s.text("id"))
		}
	}
	last := ""
	for _, r := range object[standingAnswer](b, append([]string{"standing"}, asked...)...).Rows {
		until := ""
		if r.Until != nil {
			until = *r.Until
		}
		list.rows = append(list.rows, []string{d.names[r.Worker], r.Worker, r.Skill, titles[r.Skill], r.Standing, until, strings.Join(r.Reasons, "; ")})
		if r.Worker != last {
			table.rows = append(table.rows, []string{d.names[r.Worker], r.Worker})
			last = r.Worker
		}
		table.rows[len(table.rows)-1] = append(table.rows[len(table.rows)-1], r.Standing)
	}
	return []sheetExpected{list, table}
}
