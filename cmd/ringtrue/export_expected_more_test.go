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

// These sheets and those of its neighbours (saws, gaps, charts) tell what no single entry tells. What they must hold is worked out here in another way than by
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
