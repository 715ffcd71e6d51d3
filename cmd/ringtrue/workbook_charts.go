package main

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

const chartSheet = "Charts"

// charts are the numbers of the charts, gathered while the book is read and the other sheets are written.
type charts struct {
	found  map[[2]string]int         // topic and level of what checks found
	due    map[[2]string]int         // what, and month in which it ends
	points map[string]map[string]int // worker, week: vibration points
}

func newCharts() charts {
	return charts{found: map[[2]string]int{}, due: map[[2]string]int{}, points: map[string]map[string]int{}}
}

// finding counts a finding by its level after controls, or by what it stops where it has none.
func (c *charts) finding(f hazards.Finding) {
	level := f.LevelAfter
	if level == "" {
		level = string(f.Effect)
	}
	c.found[[2]string{f.Topic, level}]++
}

// falls counts what ends ahead by month.
func (c *charts) falls(l gapLine) {
	if day, err := civil.Parse(l.When); err == nil && (l.state == gapSoon || l.state == gapLater || l.state == string(training.Due)) {
		c.due[[2]string{l.What, monthOf(day)}]++
	}
}

func monthOf(day civil.Day) string { return day.String()[:len("2006-01")] }

// point adds a day's vibration points to the week of a worker.
func (c *charts) point(worker string, day civil.Day, points int) {
	year, week := day.Noon(time.UTC).ISOWeek()
	if c.points[worker] == nil {
		c.points[worker] = map[string]int{}
	}
	c.points[worker][fmt.Sprintf("%d-W%02d", year, week)] += points
}

// chartRow is a row of the table beside the charts.
type chartRow struct {
	chart, series, label string
	number               int
}

// chartTable is the table under way, and its charts.
type chartTable struct {
	rows   []chartRow
	charts []workbook.Chart
}

// toneOf gives the series of what is stopped and of what ends soon the colours of the tints.
var toneOf = map[string]workbook.Tone{
	string(training.Restricted): workbook.Stopped, string(training.Due): workbook.Soon,
	string(hazards.StopSite): workbook.Stopped, "Serious": workbook.Soon,
}

// add adds a chart with a row for each series and label. A chart without numbers is left out, with a row that says so.
func (p *chartTable) add(c workbook.Chart, series, labels []string, number func(series, label string) int) {
	sum := 0
	var rows []chartRow
	for _, s := range series {
		from, own := len(p.rows)+len(rows)+1, 0
		var of []chartRow
		for _, l := range labels {
			n := number(s, l)
			own += n
			of = append(of, chartRow{c.Title, s, l, n})
		}
		if own == 0 {
			continue
		}
		sum, rows = sum+own, append(rows, of...)
		c.Series = append(c.Series, workbook.Series{From: from, To: from + len(labels) - 1, Tone: toneOf[s]})
	}
	if sum == 0 {
		p.rows = append(p.rows, chartRow{chart: c.Title, series: "nothing recorded"})
		return
	}
	c.Name, c.Label, c.Value = 1, 2, 3
	p.rows, p.charts = append(p.rows, rows...), append(p.charts, c)
}

// chartPage draws the charts beside the numbers that they show.
func (e *exporter) chartPage([]workbook.Count) workbook.Sheet {
	var p chartTable
	e.standingChart(&p)
	e.dueChart(&p)
	e.findingChart(&p)
	e.pointCharts(&p)
	s := e.table(chartSheet, []workbook.Column{text("Chart", 42), text("Series", 33), text("Of", 18), kindOf("Number", workbook.Number)}, func(yield func(...any) bool) error {
		for _, r := range p.rows {
			if !yield(r.chart, r.series, r.label, r.number) {
				return nil
			}
		}
		return nil
	})
	s.Charts = p.charts
	return s
}

// standingChart counts the words of all standings by module.
func (e *exporter) standingChart(p *chartTable) {
	var modules []string
	of := map[string]string{}
	for _, m := range e.std.Modules {
		modules = append(modules, m.ID)
		for _, s := range m.Skills {
			of[s.ID] = m.ID
		}
	}
	counts := map[[2]string]int{}
	for _, lines := range e.stands {
		for _, l := range lines {
			counts[[2]string{l.Standing, of[l.Skill]}]++
		}
	}
	words := []string{string(training.SignedOff), string(training.Due), string(training.ToDecide), string(training.UnderTraining), string(training.Lapsed), string(training.Restricted)}
	p.add(workbook.Chart{Kind: workbook.Stacked, Title: "Standing by module", YName: "workers and skills"}, words, modules,
		func(word, module string) int { return counts[[2]string{word, module}] })
}

// monthsAhead is how many months the chart of what falls due shows (company choice): those of the sheet of gaps.
const monthsAhead = 13

// dueChart counts what ends in each month ahead.
func (e *exporter) dueChart(p *chartTable) {
	var list []string
	for n := range monthsAhead {
		list = append(list, monthOf(e.asked.Day.AddMonths(n)))
	}
	p.add(workbook.Chart{Kind: workbook.Stacked, Title: "What falls due by month", YName: "what ends"}, []string{"skill", "ticket", "named as", "equipment"}, list,
		func(what, month string) int { return e.charts.due[[2]string{what, month}] })
}

// findingChart counts what the checks found by topic, and by level after controls or by what it stops.
func (e *exporter) findingChart(p *chartTable) {
	topics := map[string]bool{}
	for k := range e.charts.found {
		topics[k[0]] = true
	}
	levels := []string{string(hazards.StopSite), string(hazards.StopPerson), string(hazards.StopSaw), "High", "Serious", "Medium", "Low", string(hazards.NeedsControl), string(hazards.Watch)}
	p.add(workbook.Chart{Kind: workbook.Stacked, Title: "Findings of checks by topic and level", YName: "findings"}, levels, sortedBy(topics),
		func(level, topic string) int { return e.charts.found[[2]string{topic, level}] })
}

// The charts of vibration show so many people and the last weeks (company choice): more would not be read.
const (
	mostPeople = 30
	mostWeeks  = 26
)

// pointCharts show the vibration points of person-weeks: by week the highest and the middle one, and the highest of each
// person. All of those weeks stand in the table below; a line for each person would leave no room for the lines.
func (e *exporter) pointCharts(p *chartTable) {
	weeks := map[string]bool{}
	for _, of := range e.charts.points {
		for week := range of {
			weeks[week] = true
		}
	}
	shown := sortedBy(weeks)
	shown = shown[max(0, len(shown)-mostWeeks):]
	last := ""
	if len(weeks) > mostWeeks {
		last = fmt.Sprintf(" (last %d weeks)", mostWeeks)
	}
	const most = "person with most"
	p.add(workbook.Chart{Kind: workbook.Bars, Title: "Vibration points by week" + last, YName: "points of a person"}, []string{most, "middle person"}, shown,
		func(of, week string) int {
			list := e.pointsIn(week)
			if of == most {
				return list[len(list)-1]
			}
			return list[(len(list)-1)/2]
		})
	e.worstWeeks(p, shown, last)
	for _, id := range sortedBy(e.charts.points) {
		for _, week := range shown {
			if n, ok := e.charts.points[id][week]; ok {
				p.rows = append(p.rows, chartRow{"Vibration points per person and week", e.name(id), week, n})
			}
		}
	}
}

// pointsIn gives the points of everybody in a week in order.
func (e *exporter) pointsIn(week string) (list []int) {
	for _, of := range e.charts.points {
		if n, ok := of[week]; ok {
			list = append(list, n)
		}
	}
	slices.Sort(list)
	return list
}

// worstWeeks is the chart of each person's highest week.
func (e *exporter) worstWeeks(p *chartTable, weeks []string, last string) {
	most := map[string]int{}
	for id, of := range e.charts.points {
		for _, week := range weeks {
			most[id] = max(most[id], of[week])
		}
	}
	ids := sortedBy(most)
	slices.SortStableFunc(ids, func(a, b string) int { return cmp.Compare(most[b], most[a]) })
	title := "Vibration points, highest week of each" + last
	if len(ids) > mostPeople {
		title = fmt.Sprintf("Vibration points, highest week, %d people%s", mostPeople, last)
	}
	byShort, shorts := map[string]string{}, []string{}
	for _, id := range ids[:min(len(ids), mostPeople)] {
		shorts = append(shorts, e.people.handle(id))
		byShort[e.people.handle(id)] = id
	}
	p.add(workbook.Chart{Kind: workbook.Bars, Title: title, YName: "points in a week", NoLegend: true}, []string{"highest week"}, shorts,
		func(_, short string) int { return most[byShort[short]] })
}
