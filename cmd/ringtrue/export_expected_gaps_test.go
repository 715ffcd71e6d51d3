//go:build outside

package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

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
	oriented, sawed, joined := "", "", ""
	for _, e := range d.mine(worker, "orientation", "join", "observation") {
		day, f := d.dayOf(e.Entry.Happened), e.Entry.Data
		switch {
		case e.Entry.Kind == "orientation":
			oriented = max(oriented, day)
		case e.Entry.Kind == "join" && f.text("saw") == "":
			joined = max(joined, day)
		case e.Entry.Kind == "join", f.text("outcome") != "incomplete":
			sawed = max(sawed, day)
		}
	}
	seen := max(oriented, sawed)
	if sawed == "" {
		seen = max(oriented, joined)
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
	list = append(list, d.fallsShort(skill, since, looks)...)
	if last := d.lastUse(worker, skill); len(looks) >= d.looksWanted(skill) && last != "" && last <= d.daysBack(d.houseCount("currency-days")) && !d.drilled(skill) {
		list = append(list, fmt.Sprintf("last used on %s, %d days ago or more; a met return look comes first", last, d.houseCount("currency-days")))
	}
	return list
}

func (d *dump) looksWanted(skill string) int {
	if d.vital[skill] {
		return 3
	}
	return 1
}

// daysBack is the day so many days before the day asked.
func (d *dump) daysBack(n int) string {
	day, _ := time.Parse(time.DateOnly, d.day)
	return day.AddDate(0, 0, -n).Format(time.DateOnly)
}

// lastUse is the last day on which a worker was seen at a skill or joined with a saw under a task group that needs it, "" = never.
func (d *dump) lastUse(worker, skill string) (last string) {
	for _, e := range d.mine(worker, "observation", "join") {
		f := e.Entry.Data
		seen := e.Entry.Kind == "observation" && e.Entry.Skill == skill && f.text("outcome") != "incomplete"
		used := e.Entry.Kind == "join" && f.text("saw") != "" && d.groupNeeds(f.text("group"), skill)
		if seen || used {
			last = max(last, d.dayOf(e.Entry.Happened))
		}
	}
	return last
}

func (d *dump) groupNeeds(group, skill string) bool {
	c := d.of("curriculum")[0].Entry.Data
	for _, g := range c.parts("groups") {
		if g.text("id") == group && (slices.Contains(g.texts("skills"), skill) || g["saw"] == true && d.skillIs(skill, "gate")) {
			return true
		}
	}
	return false
}

func (d *dump) drilled(skill string) bool { return d.skillIs(skill, "emergency") }

func (d *dump) skillIs(skill, what string) bool {
	for _, m := range d.of("curriculum")[0].Entry.Data.parts("modules") {
		for _, s := range m.parts("skills") {
			if s.text("id") == skill {
				return s[what] == true
			}
		}
	}
	return false
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
