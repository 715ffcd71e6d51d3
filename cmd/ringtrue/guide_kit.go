package main

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/training"
)

// askAttend asks who was taught what. How understanding was tested is never offered.
func (a *app) askAttend(o attendOptions) (attendOptions, error) {
	known := answers{}
	if o.lang != "" {
		known["language"] = o.lang
	}
	if o.test != "" {
		known["understood"] = o.test
	}
	said, err := a.ask("module attend", known, a.attendFlow)
	if err != nil {
		return o, err
	}
	if said[recordQuestion] != "yes" {
		return o, notRecorded()
	}
	o.workers, o.module, o.lang, o.test = said.list("workers"), said["module"], said["language"], said["understood"]
	return o, nil
}

func (a *app) attendFlow(said answers) ([]question, error) {
	modules, err := choicesFrom(a.offerModules())
	if err != nil {
		return nil, err
	}
	workers, err := a.others()
	if err != nil {
		return nil, err
	}
	qs := []question{{id: "module", title: "Which module was taught?", help: "number, or any part of the title", choices: modules, search: true},
		{id: "workers", title: "Who was taught? Mark everybody who was there", choices: workers, many: true}}
	if said["workers"] == "" {
		return qs, nil
	}
	lang := question{id: "language", title: "In which language?", optional: true}
	var last training.Attendance
	from, ok, err := a.lastAbout(said.list("workers")[0], training.KindAttendance, &last, func() bool { return last.Language != "" })
	if ok {
		lang.preset, lang.from = last.Language, from
	}
	who, errWho := a.withNames(said.list("workers")...)
	return append(qs, lang, question{id: "understood", title: "How was understanding tested?", help: "a few words: what they said or showed", optional: true},
		recordIt(fmt.Sprintf("%s was taught to %s, language %s; understood: %s", said["module"], who, firstText(said["language"], "not said"),
			firstText(said["understood"], "not said")))), firstError(err, errWho)
}

// askIssue asks what is issued to whom; size and standard of the last such piece are offered.
func (a *app) askIssue(o issueOptions, args []string) (issueOptions, error) {
	known := answers{}
	for id, text := range map[string]string{"size": o.Size, "standard": o.Standard, "number": o.Serial} {
		if text != "" {
			known[id] = text
		}
	}
	if len(args) > 0 {
		known["worker"] = args[0]
	}
	said, err := a.ask("ppe issue", known, a.issueFlow)
	if err != nil {
		return o, err
	}
	if said[recordQuestion] != "yes" {
		return o, notRecorded()
	}
	o.worker, o.item, o.Size, o.Standard, o.Serial = said["worker"], said["item"], said["size"], said["standard"], said["number"]
	return o, nil
}

func (a *app) issueFlow(said answers) ([]question, error) {
	worker, err := a.workerQuestion("Who gets it?")
	if err != nil {
		return nil, err
	}
	items, err := choicesFrom(a.offerItems())
	if err != nil {
		return nil, err
	}
	qs := []question{worker, {id: "item", title: "What is it?", choices: items, search: true}}
	if said["worker"] == "" || said["item"] == "" {
		return qs, nil
	}
	std, err := a.standards(a.askedToday())
	if err != nil {
		return nil, err
	}
	item, _ := std.Item(said["item"])
	size := question{id: "size", title: "Which size?", optional: true}
	standard := question{id: "standard", title: "Which standard is marked on it?", help: strings.Join(item.Standards, ", "), optional: true}
	var last training.Issue
	from, ok, err := a.lastAbout(said["worker"], training.KindIssue, &last, func() bool { return last.Item == item.ID })
	if ok && last.Size != "" {
		size.preset, size.from = last.Size, from
	}
	if ok && last.Standard != "" {
		standard.preset, standard.from = last.Standard, from
	}
	who, errWho := a.withNames(said["worker"])
	return append(qs, size, standard, question{id: "number", title: "Which number stands on it?", optional: true},
		recordIt(strings.TrimSpace(fmt.Sprintf("%s holds: %s%s. %s", who, item.Title, note(", size ", said["size"]), item.Note)))), firstError(err, errWho)
}

// missing reports whether the line of a saw's day says nothing yet.
func (o lineOptions) missing() bool {
	return o.Saw == "" || (!o.Daily && !o.Weekly && o.Refuels+o.Filings+o.Rock+o.Nut == 0 && o.Litres+o.Hours+o.Area+o.Note == "")
}

// askLine asks for the day of a saw. What was done and counted is never offered.
func (a *app) askLine(o lineOptions) (lineOptions, error) {
	known := answers{}
	if o.Saw != "" {
		known["saw"] = o.Saw
	}
	said, err := a.ask("saw upkeep", known, a.lineFlow)
	if err != nil {
		return o, err
	}
	if said[recordQuestion] != "yes" {
		return o, notRecorded()
	}
	o.Saw, o.Daily, o.Weekly, o.Left = said["saw"], said["daily"] == "yes", said["weekly"] == "yes", said.list("left")
	o.Litres, o.Hours, o.Note = said["litres"], said["hours"], said["note"]
	for id, n := range map[string]*int{"nut": &o.Nut, "refuels": &o.Refuels, "filings": &o.Filings} {
		*n, _ = strconv.Atoi(said[id]) // "" = none; the questions took nothing else
	}
	return o, nil
}

func (a *app) lineFlow(said answers) ([]question, error) {
	saws, err := choicesFrom(a.offerSaws())
	if err != nil {
		return nil, err
	}
	if len(saws) == 0 && said["saw"] == "" {
		return nil, refuse("add one: ringtrue saw add --help", "there is no saw in this book")
	}
	qs := []question{
		{id: "saw", title: "Which saw?", choices: saws, search: true},
		{id: "daily", title: "Was the daily upkeep done?", help: strings.Join(upkeep.ItemIDs(false), ", "), choices: yesOrNo()},
		{id: "weekly", title: "Was the weekly upkeep done?", help: strings.Join(upkeep.ItemIDs(true), ", "), choices: yesOrNo()},
	}
	if left := leftOut(said); len(left) > 0 {
		qs = append(qs, question{id: "left", title: "What was left out of it? Mark it", choices: left, many: true, optional: true})
	}
	qs = append(qs, countQuestion("nut", "How many wrench checks of the blade nut?"), countQuestion("refuels", "How many refuellings?"))
	if n, _ := strconv.Atoi(said["refuels"]); n > 0 {
		qs = append(qs, question{id: "litres", title: "How much mixture, all of the day?", help: "with unit, as 4.6L", optional: true,
			check: checked(func(text string) error { return upkeep.Line{Refuels: n, Litres: text}.Check("") })})
	}
	return append(qs, countQuestion("filings", "How many filings?"),
		question{id: "hours", title: "How many engine hours?", help: "with unit, as 5.5h", optional: true,
			check: checked(func(text string) error { return upkeep.CheckWork(text, "") })},
		question{id: "note", title: "Anything to add?", optional: true}, recordIt(lineSummary(said))), nil
}

// leftOut are the items of the upkeep that was done.
func leftOut(said answers) []choice {
	var out []choice
	for _, weekly := range []bool{false, true} {
		if (weekly && said["weekly"] != "yes") || (!weekly && said["daily"] != "yes") {
			continue
		}
		for _, id := range upkeep.ItemIDs(weekly) {
			out = append(out, choice{value: id, label: id})
		}
	}
	return out
}

// countQuestion asks for a whole number; blank is none.
func countQuestion(id, title string) question {
	return question{id: id, title: title, help: "a number; blank is none", optional: true, check: checked(func(text string) error {
		if n, err := strconv.Atoi(text); err != nil || n < 0 || n > 99 { // more cannot be meant of one day (company choice)
			return fmt.Errorf("%q is not a number from 0 to 99", text)
		}
		return nil
	})}
}

func lineSummary(said answers) string {
	l := upkeep.Line{Daily: said["daily"] == "yes", Weekly: said["weekly"] == "yes", Left: said.list("left"), Litres: said["litres"], Hours: said["hours"], Note: said["note"]}
	for id, n := range map[string]*int{"nut": &l.Nut, "refuels": &l.Refuels, "filings": &l.Filings} {
		*n, _ = strconv.Atoi(said[id])
	}
	return "day of saw " + said["saw"] + ": " + lineWords(l)
}
