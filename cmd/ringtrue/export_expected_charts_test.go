//go:build outside

package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

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
