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
	sorted bool // rows are compared in the order of their text, not in that of the sheet
}

// dumped is one line of `book dump`.
type dumped struct {
	Origin string
	Seq    int64
	Leaf   string
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

	critical map[string]bool // "SKILL CRITERION"
	all      []dumped        // by no moment

	modules   map[string]string // skill -> module
	vital     map[string]bool   // critical skills
	moduleIDs []string
	crews     map[string]string
}

// readDump reads the dump and leaves out what had not happened, or was not known, by the day asked (nil: now).
func readDump(t *testing.T, b *bench, asked []string) *dump {
	t.Helper()
	d := &dump{names: map[string]string{}, handles: map[string]string{}, crews: map[string]string{}, struck: map[string]string{}, critical: map[string]bool{}}
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
	d.all = all
	for _, m := range d.of("curriculum")[0].Entry.Data.parts("modules") {
		for _, s := range m.parts("skills") {
			for _, c := range s.parts("criteria") {
				d.critical[s.text("id")+" "+c.text("id")] = c["critical"] == true
			}
		}
	}
	for _, w := range object[struct{ Rows []onList }](b, "worker", "list").Rows {
		d.names[w.Worker], d.handles[w.Worker], d.crews[w.Worker] = w.Name, w.Short, w.Crew
	}
	d.takeCurriculum(t)
	return d
}

// of gives the entries of some kinds.
func (d *dump) of(kinds ...string) (out []dumped) {
	for _, e := range d.entries {
		if slices.Contains(kinds, e.Entry.Kind) {
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

// table makes the sheet of some kinds of entries about people; cells gives the own cells of each row.
func (d *dump) table(name, own string, cells func(e dumped) [][]string, kinds ...string) sheetExpected {
	titles := append([]string{"Entry", "Happened", "Recorded", "Worker", "Person id"}, strings.Split(own, ",")...)
	s := sheetExpected{name: name, titles: append(titles, "Recorded by", "Struck")}
	for _, e := range d.of(kinds...) {
		seq := fmt.Sprint(e.Seq)
		for _, own := range cells(e) {
			row := append([]string{seq, d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded), d.names[e.Entry.Worker], e.Entry.Worker}, own...)
			s.rows = append(s.rows, append(row, d.person(e.Entry.By), d.struck[seq]))
		}
	}
	return s
}

// once is one row for an entry.
func once(cells func(e dumped) []string) func(e dumped) [][]string {
	return func(e dumped) [][]string { return [][]string{cells(e)} }
}

const unsigned = "not personally signed"

// expectedSheets is what a workbook of the book must hold on all sheets but Read me and Seal.
func expectedSheets(t *testing.T, b *bench, asked []string) []sheetExpected {
	t.Helper()
	d := readDump(t, b, asked)
	standings, findings, exposures := standingSheets(b, d, asked), d.findings(), d.exposures()
	gaps := d.gaps(b, asked, standings[0])
	return append(standings, gaps, d.charts(standings[0], gaps, findings, exposures), d.saws(t), d.days(), d.events(), d.localRules(t),
		d.table("Training", "What,Of,Curriculum,Language,How understanding was tested,Until,Document or topics,Signature", once(d.taughtCells), "attendance", "orientation", "new-again", "ticket"),
		d.table("Observations", "Skill,Outcome,Criterion,Critical,Seen,Value,Announced,Block,Reasons, once a look,Note, once a look,Curriculum,House rules", d.lookCells, "observation").titled(8, "Reasons, once a look", "Note, once a look"),
		d.table("Decisions", "Decision,Of,Until,Level,Limits,Reason or basis,Rests on,Decided,Told,Signature", once(d.decisionCells), "sign-off", "restriction", "lift", "withdrawal", "release", "credit", "appointment", "awaiting-signature"),
		d.table("PPE", "Item,Size,Standard,Number,Made,Replace by,Who says so,Own,Last look,State,Why condemned", once(d.issued), "ppe-issue"),
		d.sawUses(b, asked), crewList(b, asked),
		d.table("Who was there", "Check,Block,Visitor,Saw,Task group,Level,Late,Briefed by,How", once(d.joinCells), "join"),
		exposures, d.checks(), findings, d.struckEntries(t), d.leaves())
}

// titled mends titles with commas in them: from column n of the kind's own on.
func (s sheetExpected) titled(n int, titles ...string) sheetExpected {
	at := 5 + n
	s.titles = append(append(slices.Clone(s.titles[:at]), titles...), s.titles[at+2*len(titles):]...)
	return s
}

func (d *dump) taughtCells(e dumped) []string {
	f := e.Entry.Data
	what := map[string]string{"attendance": "was taught", "orientation": "orientation", "new-again": "orientation due again", "ticket": "ticket"}[e.Entry.Kind]
	of := map[string]string{"attendance": f.text("module"), "orientation": "block " + f.text("block"), "ticket": f.text("what")}[e.Entry.Kind]
	document := map[string]string{"orientation": strings.Join(f.texts("topics"), ", "), "new-again": f.text("reason"), "ticket": f.text("document")}[e.Entry.Kind]
	return []string{what, of, f.text("edition"), f.text("language"), f.text("understood"), f.text("until"), document, unsigned}
}

// lookCells are the rows of a look: one for each criterion; what was said of the whole look stands in the first.
func (d *dump) lookCells(e dumped) (rows [][]string) {
	f := e.Entry.Data
	reasons, remark := strings.Join(f.texts("reasons"), "; "), f.text("note")
	for _, m := range f.parts("marks") {
		critical := strings.ToUpper(fmt.Sprint(d.critical[e.Entry.Skill+" "+m.text("criterion")]))
		rows = append(rows, []string{e.Entry.Skill, f.text("outcome"), m.text("criterion"), critical, m.text("seen"), m.text("value"), f.flag("announced"), f.text("block"),
			reasons, remark, f.text("edition"), f.text("house")})
		reasons, remark = "", ""
	}
	return rows
}

func (d *dump) decisionCells(e dumped) []string {
	f, kind := e.Entry.Data, e.Entry.Kind
	row := []string{kind, e.Entry.Skill, f.text("until"), f.text("level"), f.text("limits"), f.text("reason"), "", f.text("independence"), f.text("told"), unsigned}
	switch kind {
	case "sign-off":
		row[6] = d.shorts(f.texts("evidence"))
	case "lift":
		row[6] = d.short(f.text("observation"))
	case "release":
		row[1] = f.text("group")
		if f.text("slope") != "" {
			row[4] = listed(row[4], "ground up to "+f.text("slope"))
		}
		if f["opening"] == true {
			row[5] = "opening release: credited, not yet seen here"
		}
	case "credit":
		row[0], row[1], row[6] = "earlier training accepted", f.text("module"), f.text("document")
	case "appointment":
		row[0], row[1], row[4], row[5] = "named as", strings.Join(f.texts("duties"), ", "), "from "+f.text("from"), f.text("basis")
		if skills := f.texts("skills"); len(skills) > 0 {
			row[4] += ", only " + strings.Join(skills, ", ")
		}
	}
	return row
}

// issued tells a piece of equipment and what became of it by the day asked.
func (d *dump) issued(e dumped) []string {
	f := e.Entry.Data
	looked, state, why := d.state(e)
	return []string{f.text("item"), f.text("size"), f.text("standard"), f.text("serial"), f.text("made"), f.text("replace_by"), f.text("source"), f.flag("own"), looked, state, why}
}

// state gives the day of the last look at a piece, how it stands by the day asked, and why it was condemned.
func (d *dump) state(e dumped) (lookDay, state, why string) {
	looked, returned, condemned := e.Entry.Happened, false, false
	for _, o := range append(d.of("ppe-inspection"), d.of("ppe-return")...) {
		f := o.Entry.Data
		if d.short(f.text("issue")) != fmt.Sprint(e.Seq) || d.struck[fmt.Sprint(o.Seq)] != "" {
			continue
		}
		if f.text("condition") == "condemned" {
			condemned, why = true, f.text("reason")
		}
		returned = returned || o.Entry.Kind == "ppe-return"
		if o.Entry.Kind == "ppe-inspection" && o.Entry.Happened.After(looked) {
			looked = o.Entry.Happened
		}
	}
	lookDay = looked.In(d.zone).Format(time.DateOnly)
	replace := e.Entry.Data.text("replace_by")
	switch {
	case d.struck[fmt.Sprint(e.Seq)] != "": // it never was issued
	case condemned:
		state = "condemned"
	case returned:
		state = "returned"
	case replace != "" && replace <= d.day:
		state = "replace"
	case looked.In(d.zone).AddDate(0, 0, d.lookDays()).Format(time.DateOnly) < d.day:
		state = "look due"
	default:
		state = "held"
	}
	return lookDay, state, why
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
	return []string{d.short(f.text("tailgate")), f.text("block"), f.text("visitor"), f.text("saw"), f.text("group"), f.text("level"), f.flag("late"), briefed, f.text("how")}
}

func (d *dump) exposures() sheetExpected {
	return d.table("Exposure", "Day,Check,Block,Saw,Minutes at the trigger,A(8) in m/s2,Vibration points,Vibration beyond,Dose,Loud,Vibration counted,Noise counted,Noise by", once(func(e dumped) []string {
		f := e.Entry.Data
		return []string{f.text("day"), d.short(f.text("tailgate")), f.text("block"), f.text("saw"), minutes(f.text("trigger")), noUnit(f.text("a8"), "m/s2"),
			noUnit(f.text("points"), "points"), f.text("over"), noUnit(f.text("dose"), "%"), f.flag("loud"), f.text("vibration"), f.text("noise"), f.text("criterion")}
	}), "exposure").renamed("Dose", "Noise dose in %, nothing worn")
}

// noUnit takes the unit off a number, and the zeros that a number does not show: "2.10m/s2" is 2.1.
func noUnit(quantity, unit string) string {
	n := strings.TrimSuffix(quantity, unit)
	if strings.Contains(n, ".") {
		n = strings.TrimRight(strings.TrimRight(n, "0"), ".")
	}
	return n
}

// minutes are those of a time in minutes or hours.
func minutes(told string) string {
	if h, ok := strings.CutSuffix(told, "h"); ok {
		n, _ := strconv.ParseFloat(h, 64)
		return strconv.FormatFloat(n*60, 'f', -1, 64)
	}
	return noUnit(told, "min")
}

// renamed gives a column a title that has a comma.
func (s sheetExpected) renamed(from, to string) sheetExpected {
	s.titles[slices.Index(s.titles, from)] = to
	return s
}

// about counts the entries of a kind that name a check and are not struck.
func (d *dump) about(check dumped, kind string, counts func(fields) bool) (n int) {
	for _, j := range d.of(kind) {
		if d.short(j.Entry.Data.text("tailgate")) == fmt.Sprint(check.Seq) && d.struck[fmt.Sprint(j.Seq)] == "" && counts(j.Entry.Data) {
			n++
		}
	}
	return n
}

// checks are the rows of the sheet Tailgate that tell of checks; of changes, calls and closes only the number is compared.
func (d *dump) checks() sheetExpected {
	s := sheetExpected{name: "Tailgate", titles: strings.Split("Entry,Happened,Recorded,What,Of check,Block,Answer,In words,On the sheet,Joined,Changes,Calls,Missed,Accepted or decided by,Answers that changed,Recorded by,Signature,Struck", ",")}
	any := func(fields) bool { return true }
	for _, e := range d.of("tailgate", "change", "checkin", "close") {
		f, seq := e.Entry.Data, fmt.Sprint(e.Seq)
		if e.Entry.Kind != "tailgate" {
			s.rows = append(s.rows, []string{seq, d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded)})
			continue
		}
		a, missed, accepted := f.part("assessment"), "", ""
		if d.about(e, "checkin", func(f fields) bool { return f["missed"] == true }) > 0 {
			missed = "missed"
		}
		if a.text("accepted_by") != "" {
			accepted = d.person(a.text("accepted_by"))
		}
		s.rows = append(s.rows, []string{seq, d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded), "check", "", f.text("block"), a.text("answer"), d.named(a.text("sentence")),
			fmt.Sprint(len(f.part("sheet").parts("crew"))), fmt.Sprint(d.about(e, "join", any)), fmt.Sprint(d.about(e, "change", any)), fmt.Sprint(d.about(e, "checkin", any)),
			missed, accepted, d.allNamed(f.texts("changed")), d.person(e.Entry.By), unsigned, d.struck[seq]})
	}
	return s
}

func (d *dump) findings() sheetExpected {
	s := sheetExpected{name: "Findings", titles: strings.Split("Entry,Happened,Found at,Block,Topic,What stops,About,What,Level before,Level after,Because,Lowered by,Controls,Struck", ",")}
	for _, e := range d.of("tailgate", "change") {
		at := map[string]string{"tailgate": "check", "change": "change"}[e.Entry.Kind]
		for _, f := range e.Entry.Data.part("assessment").parts("findings") {
			about := f.text("subject")
			if f.text("of") == "person" {
				about = d.handles[about]
			}
			s.rows = append(s.rows, []string{fmt.Sprint(e.Seq), d.clock(e.Entry.Happened), at, e.Entry.Data.text("block"), f.text("topic"), f.text("effect"),
				strings.TrimSpace(f.text("of") + " " + about), d.named(f.text("what")), f.text("level_before"), f.text("level_after"),
				d.allNamed(f.texts("reasons")), d.allNamed(f.texts("lower")), d.allNamed(f.texts("controls")), d.struck[fmt.Sprint(e.Seq)]})
		}
	}
	return s
}

func (d *dump) struckEntries(t *testing.T) sheetExpected {
	s := sheetExpected{name: "Struck entries", titles: strings.Split("Entry,Happened,Recorded,Struck entry,Kind,Worker,Skill,It happened,Reason,Struck by,Second person,What it changed,Signature", ",")}
	for _, e := range d.of("strike") {
		ref := d.short(e.Entry.Data.text("entry"))
		at := slices.IndexFunc(d.entries, func(o dumped) bool { return fmt.Sprint(o.Seq) == ref })
		require.GreaterOrEqual(t, at, 0, "entry %s", ref)
		was := d.entries[at].Entry
		require.Empty(t, e.Entry.Data["second"], "the demo strikes nothing that stops")
		require.Empty(t, e.Entry.Data["changes"], "the demo's strikes change no standing")
		s.rows = append(s.rows, []string{fmt.Sprint(e.Seq), d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded), ref, was.Kind, d.names[was.Worker], was.Skill, d.clock(was.Happened),
			e.Entry.Data.text("reason"), d.person(e.Entry.By), "", "", unsigned})
	}
	return s
}

// leaves are those of the whole book, whatever was asked.
func (d *dump) leaves() sheetExpected {
	s := sheetExpected{name: "Leaves", titles: []string{"Ledger", "Number", "Leaf (hex)"}}
	for _, e := range d.all {
		s.rows = append(s.rows, []string{e.Origin, fmt.Sprint(e.Seq), e.Leaf})
	}
	return s
}

// standingSheets are the rows of `standing --json`, as a list and as a crew by skill table. Of the table the columns beside
// the words are left out; see below.
func standingSheets(b *bench, d *dump, asked []string) []sheetExpected {
	list := sheetExpected{name: "Standing and why", titles: []string{"Worker", "Person id", "Skill", "Title", "Standing", "Changes on", "Reasons"}}
	table := sheetExpected{name: "Standing", titles: []string{"Worker"}}
	titles := map[string]string{}
	for _, m := range d.of("curriculum")[0].Entry.Data.parts("modules") {
		for _, s := range m.parts("skills") {
			titles[s.text("id")] = s.text("title")
			if s["withdrawn"] == true {
				continue // no longer taught, and nobody stands anywhere with it
			}
			table.titles = append(table.titles, s.text("id")+" "+s.text("title"))
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
			table.rows = append(table.rows, []string{d.names[r.Worker]})
			last = r.Worker
		}
		table.rows[len(table.rows)-1] = append(table.rows[len(table.rows)-1], r.Standing)
	}
	return []sheetExpected{list, table}
}
