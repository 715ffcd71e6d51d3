//go:build outside

package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// The sheets of this file tell what no single entry tells. What they must hold is worked out here in another way than by
// the program: from the dump, from rows of other sheets that were compared already, and from the files of local rules.

// personOrNot is who somebody is, or nothing for nobody.
func (d *dump) personOrNot(id string) string {
	if id == "" {
		return ""
	}
	return d.person(id)
}

func (d *dump) live(e dumped) bool { return d.struck[fmt.Sprint(e.Seq)] == "" }

func (d *dump) dayOf(t time.Time) string { return t.In(d.zone).Format(time.DateOnly) }

// followed gives the words behind a text, if there are any.
func followed(before, text string) string {
	if text == "" {
		return ""
	}
	return before + text
}

// listed joins what is not empty.
func listed(list ...string) string {
	return strings.Join(slices.DeleteFunc(list, func(s string) bool { return s == "" }), ", ")
}

// count reads a whole number of an entry.
func (f fields) count(name string) int {
	n, _ := f[name].(float64)
	return int(n)
}

var sawWhat = map[string]string{"saw": "card", "saw-retired": "retired", "blade-fitted": "blade fitted", "blade-scrapped": "blade scrapped", "saw-use": "had it",
	"upkeep": "upkeep", "refuel": "refuelled", "filing": "filed", "setting": "teeth set", "defect": "defect", "tag": "tagged out", "clear": "cleared", "look-again": "looked at again", "fitting": "fitted to worker"}

// defectWhat are the defects of the books of these tests in words.
var defectWhat = map[string]string{"guard": "guard missing, broken or moved", "pad": "hip or shoulder pad damaged"}

func (d *dump) saws(t *testing.T) sheetExpected {
	s := sheetExpected{name: "Saws", titles: strings.Split("Entry,Happened,Recorded,Saw,What,In words,State now,Stops the saw,Of entry,Blade,Worker,Person id,Block,Engine hours,Area,Recorded by,Struck", ",")}
	var kinds []string
	for k := range sawWhat {
		kinds = append(kinds, k)
	}
	for _, e := range d.of(kinds...) {
		f, seq := e.Entry.Data, fmt.Sprint(e.Seq)
		saw, state, stops := f.text("saw"), "", f.flag("stops")
		switch e.Entry.Kind {
		case "saw":
			saw = f.text("id")
			state = d.sawState(saw)
		case "tag":
			stops = "TRUE"
		}
		s.rows = append(s.rows, []string{seq, d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded), saw, sawWhat[e.Entry.Kind], d.sawSays(t, e), state, stops, d.shorts(f.texts("clears")),
			f.text("blade"), d.names[e.Entry.Worker], e.Entry.Worker, f.text("block"), f.text("hours"), f.text("area"), d.person(e.Entry.By), d.struck[seq]})
	}
	return s
}

// sawState is out of use while a tag, or a defect that stops, has not been cleared.
func (d *dump) sawState(saw string) string {
	open, state := map[string]bool{}, "in use"
	for _, e := range d.of("tag", "defect", "clear", "saw-retired") {
		f := e.Entry.Data
		if f.text("saw") != saw || !d.live(e) {
			continue
		}
		switch e.Entry.Kind {
		case "tag":
			open[fmt.Sprint(e.Seq)] = true
		case "defect":
			open[fmt.Sprint(e.Seq)] = f["stops"] == true
		case "clear":
			for _, ref := range f.texts("clears") {
				open[d.short(ref)] = false
			}
		case "saw-retired":
			return "retired"
		}
	}
	for _, stops := range open {
		if stops {
			state = "out of use"
		}
	}
	return state
}

func often(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func (d *dump) sawSays(t *testing.T, e dumped) string {
	f := e.Entry.Data
	switch e.Entry.Kind {
	case "saw":
		sizes := f.text("blade_min") + "-" + f.text("blade_max")
		if f.text("blade_min") == f.text("blade_max") {
			sizes = f.text("blade_min")
		}
		return listed("spindle up to "+f.text("spindle"), "blades "+sizes, followed("guard: ", f.text("guard")), followed("harness: ", f.text("harness")), followed("own saw of ", d.personOrNot(f.text("owner"))))
	case "upkeep":
		var parts []string
		for _, word := range []string{"daily", "weekly"} {
			if f[word] == true {
				parts = append(parts, word)
			}
		}
		parts = append(parts, followed("but ", strings.Join(f.texts("left"), ", ")))
		for _, c := range [][2]string{{"nut", "nut checks"}, {"refuels", "refuels"}, {"filings", "filings"}, {"rock", "hits on rock"}} {
			if n := f.count(c[0]); n > 0 {
				parts = append(parts, fmt.Sprintf("%d %s", n, c[1]))
			}
		}
		return listed(append(parts, f.text("litres"), f.text("note"))...)
	case "blade-fitted":
		return listed(f.text("diameter"), followed("bore ", f.text("bore")), followed("rated ", f.text("rated")))
	case "blade-scrapped", "saw-retired", "tag":
		return f.text("reason")
	case "refuel", "filing":
		return listed(often(f.count("count")), f.text("litres"), followed("after ", f.text("after")))
	case "setting":
		return followed("set ", f.text("width"))
	case "defect":
		require.Contains(t, defectWhat, f.text("what"))
		return defectWhat[f.text("what")] + followed(": ", f.text("note")) + followed(", found by ", d.personOrNot(f.text("by")))
	case "clear":
		return listed(f.text("done"), followed("replaced: ", f.text("part")), followed("second look by ", d.personOrNot(f.text("second"))))
	case "look-again":
		return f.text("note")
	case "fitting":
		return listed("hook "+f.text("hook"), "blade "+f.text("height"), followed("elbow ", f.text("elbow")), followed("wrist ", f.text("wrist")))
	}
	return ""
}

func (d *dump) events() sheetExpected {
	s := sheetExpected{name: "Events and actions", titles: strings.Split("Entry,Happened,Recorded,What,Of entry,Block,In words,What it showed,Owner,Due,Done,State,Told by,Recorded by,Struck", ",")}
	for _, e := range d.of("event", "action", "action-done", "action-checked", "event-closed") {
		f, seq := e.Entry.Data, fmt.Sprint(e.Seq)
		var what, of, words, done, state string
		switch e.Entry.Kind {
		case "event":
			what, words, state = f.text("kind"), f.text("what")+followed("; asked since: ", f.text("question")), "open"
			if d.follows("event-closed", "event", e) != nil {
				state = "closed"
			}
		case "action":
			what, of, words, state = "action", f.text("event"), f.text("what"), "open"
			if f.text("due") < d.day {
				state = "overdue"
			}
			if n := d.follows("action-done", "action", e); n != nil {
				state, done = "done", d.dayOf(n.Entry.Happened)
			}
			if d.follows("action-checked", "action", e) != nil {
				state = "checked"
			}
		case "action-done":
			what, of, words = "action done", f.text("action"), f.text("proof")
		case "action-checked":
			what, of = "action checked", f.text("action")
		case "event-closed":
			what, of, words = "event closed", f.text("event"), f.text("lesson")
		}
		if !d.live(e) {
			state = ""
		}
		s.rows = append(s.rows, []string{seq, d.clock(e.Entry.Happened), d.clock(e.Entry.Recorded), what, d.short(of), f.text("block"), words, f.text("showed"), d.personOrNot(f.text("owner")),
			f.text("due"), done, state, d.personOrNot(f.text("told_by")), d.person(e.Entry.By), d.struck[seq]})
	}
	return s
}

// follows gives the last entry of a kind, not struck, that names another in a field.
func (d *dump) follows(kind, field string, of dumped) (found *dumped) {
	for _, e := range d.of(kind) {
		if d.short(e.Entry.Data.text(field)) == fmt.Sprint(of.Seq) && d.live(e) {
			found = &e
		}
	}
	return found
}

// days are those with work and no check, or with a check after which nobody counted heads.
func (d *dump) days() sheetExpected {
	s := sheetExpected{name: "Days", titles: strings.Split("Day,Block,What is missing,Looks,Upkeep lines,Saw time,Tailgate checks,First entry", ",")}
	type place struct{ day, block string }
	type told struct {
		looks, upkeep, sawTime, checks, first int
		worked, closed                        bool
	}
	of, checked := map[place]*told{}, map[string]bool{}
	for _, e := range d.of("observation", "upkeep", "saw-use", "exposure", "tailgate", "join", "close") {
		f := e.Entry.Data
		if !d.live(e) {
			continue
		}
		at := place{d.dayOf(e.Entry.Happened), f.text("block")}
		if of[at] == nil {
			of[at] = &told{}
		}
		o := of[at]
		switch e.Entry.Kind {
		case "observation":
			o.looks++
		case "upkeep":
			o.upkeep++
		case "saw-use", "exposure":
			o.sawTime++
		case "tailgate":
			o.checks++
			checked[at.day] = true
			o.worked = o.worked || f.part("assessment").text("answer") != "hold"
		case "join":
			o.worked = true
			continue
		case "close":
			o.closed = o.closed || len(f.texts("missing"))+len(f.texts("visitors_missing")) == 0
			continue
		}
		if o.first == 0 {
			o.first = int(e.Seq)
		}
	}
	for at, o := range of {
		what := ""
		if o.checks == 0 && o.looks+o.upkeep+o.sawTime > 0 && !(at.block == "" && checked[at.day]) {
			what = "no tailgate check"
		}
		if o.checks > 0 && o.worked && !o.closed {
			what = map[bool]string{true: "tailgate not closed yet", false: "tailgate never closed"}[at.day == d.day]
		}
		if what != "" {
			s.rows = append(s.rows, []string{at.day, at.block, what, fmt.Sprint(o.looks), fmt.Sprint(o.upkeep), fmt.Sprint(o.sawTime), fmt.Sprint(o.checks), fmt.Sprint(o.first)})
		}
	}
	slices.SortFunc(s.rows, func(a, b []string) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	return s
}

// localRules are those of the book's place and of those it names as its parents, in the order of their files.
func (d *dump) localRules(t *testing.T) sheetExpected {
	s := sheetExpected{name: "Local rules", titles: strings.Split("Rule,Place,Topics,Cites,Duty in our words,Where to read it,How far it was read,Ended,Note", ",")}
	for code := d.all[0].Entry.Data.text("jurisdiction"); code != ""; {
		text, err := os.ReadFile(filepath.Join("..", "..", "hazards", "rules", "data", code+".yaml"))
		require.NoError(t, err)
		var file struct {
			Parent string
			Rules  []struct {
				ID, Instrument, Clause, Topic, Duty, Reference, Read, Ended, Note string
				Also                                                              []string
				HeadingOnly                                                       bool `yaml:"heading_only"`
			}
		}
		require.NoError(t, yaml.Unmarshal(text, &file))
		require.NotEmpty(t, file.Rules)
		for _, r := range file.Rules {
			how := map[string]string{"verified": "read in the source, or on an official page that quotes or explains it", "secondary": "not read in its text: read only in a restatement",
				"memory": "not read in its text: from memory"}[r.Read]
			if r.HeadingOnly {
				how = "not read in its text: only its title or heading was seen" + map[bool]string{true: "", false: ", in a restatement"}[r.Read == "verified"]
			}
			s.rows = append(s.rows, []string{r.ID, code, strings.Join(append([]string{r.Topic}, r.Also...), ", "), listed(r.Instrument, r.Clause), r.Duty, r.Reference, how, r.Ended, r.Note})
		}
		code = file.Parent
	}
	return s
}

// gaps are rows of the sheet Gaps and due, those of each person in the order of their text: the sheet lists skills by what a
// module builds on.
func (d *dump) gaps(b *bench, asked []string, why sheetExpected) sheetExpected {
	s := sheetExpected{name: "Gaps and due", sorted: true, titles: strings.Split("Worker,Person id,Crew,What,Of,State,When,Still needed,Who may look", ",")}
	for _, w := range object[struct{ Rows []onList }](b, append([]string{"worker", "list"}, asked...)...).Rows {
		if w.Left != "" {
			continue
		}
		row := func(cells ...string) { s.rows = append(s.rows, append([]string{w.Name, w.Worker, w.Crew}, cells...)) }
		if due := d.orientationDue(w.Worker); due != "" {
			row("orientation", "", "missing", "", due, "")
		}
		for _, r := range why.rows {
			if r[1] != w.Worker {
				continue
			}
			skill, of, until := r[2], r[2]+" "+r[3], r[5]
			switch {
			case r[4] != "signed off":
				when := ""
				if r[4] == "due" {
					when = until
				}
				row("skill", of, r[4], when, d.needed(w.Worker, skill, r[4], r[6]), d.mayLook(w, skill))
			case d.ending(until) != "":
				row("skill", of, d.ending(until), until, "", "")
			}
		}
		d.papers(w.Worker, row)
	}
	return s
}

// ending is how the end of something is told: nothing where it lies more than a year ahead or is open.
func (d *dump) ending(until string) string {
	ahead := func(days int) string {
		day, _ := time.Parse(time.DateOnly, d.day)
		return day.AddDate(0, 0, days).Format(time.DateOnly)
	}
	switch {
	case until == "" || until > ahead(365):
		return ""
	case until <= d.day:
		return "ran out"
	case until <= ahead(30):
		return "ends soon"
	}
	return "ends later"
}

// papers are the rows of tickets, of what somebody was named for, and of equipment.
func (d *dump) papers(worker string, row func(...string)) {
	tickets, order := map[string]fields{}, []string{}
	for _, e := range d.mine(worker, "ticket") {
		what := e.Entry.Data.text("what")
		if tickets[what] == nil {
			order = append(order, what)
		}
		tickets[what] = e.Entry.Data
	}
	for _, what := range order {
		if state := d.ending(tickets[what].text("until")); state != "" {
			row("ticket", what, state, tickets[what].text("until"), tickets[what].text("document"), "")
		}
	}
	for _, e := range d.mine(worker, "appointment") {
		f := e.Entry.Data
		renewed := true
		for _, duty := range f.texts("duties") {
			renewed = renewed && d.isNamed(worker, duty, "", max(f.text("until"), d.day))
		}
		if state := d.ending(f.text("until")); state != "" && !renewed {
			row("named as", strings.Join(f.texts("duties"), ", "), state, f.text("until"), f.text("basis"), "")
		}
	}
	for _, e := range d.mine(worker, "ppe-issue") {
		_, state, _ := d.state(e)
		replace := e.Entry.Data.text("replace_by")
		switch {
		case state == "held":
			state = d.ending(replace)
		case state != "replace" && state != "look due":
			state = ""
		}
		if state != "" {
			row("equipment", e.Entry.Data.text("item"), state, replace, fmt.Sprintf("entry %d", e.Seq), "")
		}
	}
}

// mine are the entries of some kinds about a person that are not struck, in the order in which they happened.
func (d *dump) mine(worker string, kinds ...string) (list []dumped) {
	for _, e := range d.of(kinds...) {
		if e.Entry.Worker == worker && d.live(e) {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b dumped) int {
		return cmp.Or(a.Entry.Happened.Compare(b.Entry.Happened), a.Entry.Recorded.Compare(b.Entry.Recorded))
	})
	return list
}

// houseCount is a number of the house rules.
func (d *dump) houseCount(t string) (n int) {
	for _, one := range d.of("house")[0].Entry.Data.parts("numbers") {
		if one.text("key") == t {
			fmt.Sscan(one.text("value"), &n)
		}
	}
	return n
}

func (d *dump) orientationDue(worker string) string {
	oriented, seen := "", ""
	for _, e := range d.mine(worker, "orientation", "join", "observation", "saw-use") {
		day := d.dayOf(e.Entry.Happened)
		if e.Entry.Kind == "orientation" {
			oriented = max(oriented, day)
		}
		if e.Entry.Kind != "observation" || e.Entry.Data.text("outcome") != "incomplete" {
			seen = max(seen, day)
		}
	}
	if oriented == "" {
		return "no orientation yet"
	}
	since, _ := time.Parse(time.DateOnly, seen)
	away := d.houseCount("away-days")
	if since.AddDate(0, 0, away).Format(time.DateOnly) < d.day {
		return fmt.Sprintf("away since %s, more than %d days", seen, away)
	}
	return ""
}

// isNamed reports whether somebody is named for a duty, and a skill if one is given, on a day.
func (d *dump) isNamed(worker, duty, skill, day string) bool {
	for _, e := range d.of("appointment") {
		f := e.Entry.Data
		only := f.texts("skills")
		if e.Entry.Worker == worker && d.live(e) && slices.Contains(f.texts("duties"), duty) && f.text("from") <= day && (f.text("until") == "" || day < f.text("until")) &&
			(len(only) == 0 || skill == "" || slices.Contains(only, skill)) {
			return true
		}
	}
	return false
}

// mayLook names who may look at a skill of somebody: those of the same crew first, four at most.
func (d *dump) mayLook(w onList, skill string) string {
	var own, others, named []string
	for _, e := range d.of("appointment") {
		id := e.Entry.Worker
		if id == w.Worker || slices.Contains(named, d.handles[id]) || !d.isNamed(id, "observe", skill, d.day) {
			continue
		}
		named = append(named, d.handles[id])
		if w.Crew != "" && d.crews[id] == w.Crew {
			own = append(own, d.handles[id])
		} else {
			others = append(others, d.handles[id])
		}
	}
	if len(named) <= 4 {
		return strings.Join(named, ", ")
	}
	return strings.Join(append(own, others...)[:4], ", ") + fmt.Sprintf(" and %d more", len(named)-4)
}

// needed is what a skill still needs, by its standing and the reasons given for that.
func (d *dump) needed(worker, skill, standing, reasons string) string {
	first, _, _ := strings.Cut(reasons, "; ")
	switch standing {
	case "to decide":
		return "the evidence is complete; nobody has decided"
	case "lapsed":
		if strings.Contains(reasons, "days away from the saw") {
			return first + "; one met return look renews it"
		}
		return strings.Join(append([]string{first}, d.lacks(worker, skill)...), "; ")
	case "restricted":
		return strings.Join(append([]string{"the skill is restricted; a lift has to come first"}, d.lacks(worker, skill)...), "; ")
	}
	return strings.Join(d.lacks(worker, skill), "; ")
}

// lacks counts the evidence of a skill: met looks in a row since what put earlier ones out of count.
func (d *dump) lacks(worker, skill string) (list []string) {
	var looks []dumped
	since := ""
	cut := func(what string, e dumped) { looks, since = nil, " since "+what+" on "+d.dayOf(e.Entry.Happened) }
	until := ""
	for _, e := range d.mine(worker, "observation", "restriction", "withdrawal", "sign-off") {
		if e.Entry.Skill != skill {
			continue
		}
		outcome := e.Entry.Data.text("outcome")
		switch {
		case e.Entry.Kind == "restriction":
			cut("the restriction", e)
		case e.Entry.Kind == "withdrawal":
			cut("the withdrawal", e)
		case e.Entry.Kind == "sign-off":
			until = e.Entry.Data.text("until")
		case outcome == "met":
			looks = append(looks, e)
		case outcome != "incomplete":
			cut("the miss", e)
		}
	}
	if until != "" && until <= d.day {
		looks, since = nil, " since it ran out on "+until
	}
	old := len(looks)
	looks = slices.DeleteFunc(looks, func(e dumped) bool {
		return e.Entry.Happened.In(d.zone).AddDate(1, 0, 0).Format(time.DateOnly) <= d.day
	})
	if old -= len(looks); old > 0 {
		since += fmt.Sprintf(", %d more than 12 months old", old)
	}
	if !d.taught(worker, skill) {
		list = append(list, "the module was neither attended nor credited")
	}
	return append(list, d.fallsShort(skill, since, looks)...)
}

func (d *dump) taught(worker, skill string) bool {
	for _, e := range d.mine(worker, "attendance", "credit") {
		if e.Entry.Data.text("module") == d.modules[skill] {
			return true
		}
	}
	return false
}

// fallsShort says what a number of looks falls short of: a critical skill wants 3 on 2 days, 1 of them unannounced, others 1.
func (d *dump) fallsShort(skill, since string, looks []dumped) (list []string) {
	n, on, alone := 1, 1, 0
	if d.vital[skill] {
		n, on, alone = 3, 2, 1
	}
	looks = looks[max(0, len(looks)-n):]
	days, unannounced := []string{}, 0
	for _, e := range looks {
		days = append(days, d.dayOf(e.Entry.Happened))
		if e.Entry.Data["announced"] != true {
			unannounced++
		}
	}
	first := ""
	if len(days) > 0 {
		first = days[0]
	}
	slices.Sort(days)
	different := len(slices.Compact(days))
	if len(looks) < n {
		list = append(list, fmt.Sprintf("%d of %d met observations%s", len(looks), n, since))
	}
	switch {
	case different < on && different == 1 && len(looks) > 1:
		list = append(list, fmt.Sprintf("%s on %s, %d days needed", map[int]string{2: "both", 3: "all"}[len(looks)], first, on))
	case different < on:
		list = append(list, fmt.Sprintf("on %d of %d days", different, on))
	}
	if unannounced < alone {
		list = append(list, "none unannounced")
	}
	return list
}

// charts are the numbers of the charts, from rows of other sheets.
func (d *dump) charts(why, gaps, findings, exposures sheetExpected) sheetExpected {
	s := sheetExpected{name: "Charts", titles: []string{"Chart", "Series", "Of", "Number"}}
	add := func(title string, series, labels []string, number func(series, label string) int) {
		none := true
		for _, one := range series {
			var rows [][]string
			sum := 0
			for _, l := range labels {
				n := number(one, l)
				sum += n
				rows = append(rows, []string{title, one, l, fmt.Sprint(n)})
			}
			if sum > 0 {
				s.rows, none = append(s.rows, rows...), false
			}
		}
		if none {
			s.rows = append(s.rows, []string{title, "nothing recorded", "", "0"})
		}
	}
	add("Standing by module", []string{"signed off", "due", "to decide", "under training", "lapsed", "restricted"}, d.moduleIDs, func(word, module string) (n int) {
		for _, r := range why.rows {
			if r[4] == word && d.modules[r[2]] == module {
				n++
			}
		}
		return n
	})
	var months []string
	for day, _ := time.Parse(time.DateOnly, d.day[:7]+"-01"); len(months) < 13; day = day.AddDate(0, 1, 0) {
		months = append(months, day.Format("2006-01"))
	}
	add("What falls due by month", []string{"skill", "ticket", "named as", "equipment"}, months, func(what, month string) (n int) {
		for _, r := range gaps.rows {
			if r[3] == what && strings.HasPrefix(r[6], month) && slices.Contains([]string{"ends soon", "ends later", "due"}, r[5]) {
				n++
			}
		}
		return n
	})
	d.findingChart(findings, add)
	table := d.pointRows(exposures, add)
	s.rows = append(s.rows, table...)
	return s
}

type addChart func(title string, series, labels []string, number func(series, label string) int)

func (d *dump) findingChart(findings sheetExpected, add addChart) {
	level := func(r []string) string { return cmp.Or(r[9], r[5]) }
	var topics []string
	for _, r := range findings.rows {
		if r[2] == "check" && r[13] == "" {
			topics = append(topics, r[4])
		}
	}
	slices.Sort(topics)
	add("Findings of checks by topic and level", []string{"stop site", "stop person", "stop saw", "High", "Serious", "Medium", "Low", "control", "watch"}, slices.Compact(topics), func(of, topic string) (n int) {
		for _, r := range findings.rows {
			if r[2] == "check" && r[13] == "" && r[4] == topic && level(r) == of {
				n++
			}
		}
		return n
	})
}

// pointRows sums the vibration points of each person and week; the books of these tests have fewer than 26 weeks of them.
func (d *dump) pointRows(exposures sheetExpected, add addChart) (table [][]string) {
	of, weeks := map[string]map[string]int{}, []string{}
	for _, r := range exposures.rows {
		var n int
		if _, err := fmt.Sscan(r[11], &n); err != nil || r[len(r)-1] != "" {
			continue
		}
		day, _ := time.Parse("2006-01-02 15:04:05", r[1])
		year, week := day.ISOWeek()
		name := fmt.Sprintf("%d-W%02d", year, week)
		if of[r[4]] == nil {
			of[r[4]] = map[string]int{}
		}
		of[r[4]][name] += n
		weeks = append(weeks, name)
	}
	slices.Sort(weeks)
	weeks = slices.Compact(weeks)
	add("Vibration points by week", []string{"person with most", "middle person"}, weeks, func(which, week string) int {
		var list []int
		for _, points := range of {
			if n, ok := points[week]; ok {
				list = append(list, n)
			}
		}
		slices.Sort(list)
		if which == "person with most" {
			return list[len(list)-1]
		}
		return list[(len(list)-1)/2]
	})
	most, ids, shorts := map[string]int{}, []string{}, []string{}
	for id, points := range of {
		ids = append(ids, id)
		for _, n := range points {
			most[d.handles[id]] = max(most[d.handles[id]], n)
		}
	}
	slices.Sort(ids)
	for _, id := range ids {
		shorts = append(shorts, d.handles[id])
	}
	slices.SortStableFunc(shorts, func(a, b string) int { return most[b] - most[a] })
	add("Vibration points, highest week of each", []string{"highest week"}, shorts, func(_, short string) int { return most[short] })
	for _, id := range ids {
		for _, week := range weeks {
			if n, ok := of[id][week]; ok {
				table = append(table, []string{"Vibration points per person and week", d.person(id), week, fmt.Sprint(n)})
			}
		}
	}
	return table
}

// takeCurriculum remembers the modules in their order, the module of each skill, and which skills are critical.
func (d *dump) takeCurriculum(t *testing.T) {
	d.modules, d.vital = map[string]string{}, map[string]bool{}
	for _, m := range d.of("curriculum")[0].Entry.Data.parts("modules") {
		d.moduleIDs = append(d.moduleIDs, m.text("id"))
		for _, s := range m.parts("skills") {
			d.modules[s.text("id")] = m.text("id")
			d.vital[s.text("id")] = s["critical"] == true
		}
	}
	require.NotEmpty(t, d.vital)
	text, err := json.Marshal(d.moduleIDs)
	require.NoError(t, err)
	require.Contains(t, string(text), "M12")
}
