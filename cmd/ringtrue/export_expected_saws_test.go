//go:build outside

package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

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
