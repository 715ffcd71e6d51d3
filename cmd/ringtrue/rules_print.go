package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/rules"
)

// printRules writes an answer as JSON or through the writer given, and ends it with the words about who decides.
func (a *app) printRules(answer rulesAnswer, text func(rulesAnswer)) error {
	if err := a.adopters(answer.Rules); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(answer)
	}
	a.mark()
	text(answer)
	a.remark("local rules, edition %s, texts looked at up to %s", answer.Edition, answer.Compiled)
	if answer.Reason != "" {
		a.remark("something binds less in this edition than in the one before: %s", answer.Reason)
	}
	a.remark("%s", answer.Closing)
	return nil
}

// remark prints words beside a table: plain on a terminal, behind "# " in a pipe, so that rows stay rows.
func (a *app) remark(format string, args ...any) {
	line := fmt.Sprintf(format, args...)
	if !terminal(a.out) {
		line = "# " + line
	}
	a.say("%s", clean([]string{line})[0])
}

// ruleTable is the text of `rules list`.
func (a *app) ruleTable(answer rulesAnswer) {
	var rows [][]string
	for _, r := range answer.Rules {
		rows = append(rows, []string{r.ID, r.Topic, ofCompany(r) + readShort(r.Rule, a.dayNow()), cites(r.Rule), withNote(r.Rule)})
	}
	a.table([]string{"RULE", "TOPIC", "TEXT", "CITES", "DUTY"}, rows)
	if len(rows) == 0 {
		a.remark("no rule %sis listed here; that does not mean that there is none", aboutTopic(answer.Topic))
	}
	for _, p := range answer.Places {
		a.remark("%s: %s; decides: %s", p.Code, p.Title, p.Authority)
		if p.Note != "" {
			a.remark("%s: %s", p.Code, p.Note)
		}
		a.placeReach(p, answer.Topic)
	}
	if answer.Topic == "" || answer.Topic == "fire" {
		a.remark("%s", ladderWords(answer))
	}
}

// placeReach says whether the place's rules reach thinning, and whether the topic was looked for and not found.
func (a *app) placeReach(p rulePlace, topic string) {
	if p.Thinning != "" {
		a.remark("%s: thinning that harvests nothing: %s. %s", p.Code, thinningWords[p.Thinning], p.ThinningWhy)
	}
	if slices.Contains(p.Sought, topic) {
		a.remark("%s: %s was looked for on %s and not found; ask the authority", p.Code, topic, p.SoughtOn)
	}
}

// thinningWords says for crews what rules.Coverages mean.
var thinningWords = map[string]string{
	rules.Covered:   "covered by name",
	rules.Harvest:   "not named, the forestry rules speak of harvest; the general rules for work hold",
	rules.General:   "no forestry rules found; the general rules for work hold",
	rules.Unsettled: "not settled by what was read; ask the authority",
}

// ladderWords says for which places the program holds a fire restriction ladder, and what to do elsewhere.
func ladderWords(answer rulesAnswer) string {
	held := strings.Join(answer.FireLadders, ", ")
	if answer.Jurisdiction == "" {
		return "fire restrictions from class to class are in this program for " + held + " only; elsewhere enter the fire agency's own class on the day sheet and follow its own restrictions"
	}
	for _, p := range answer.Places {
		if l, ok := fire.LadderOf(p.Code); ok {
			return "the fire restrictions of " + p.Code + " are in this program: " + l.Source + "; the fire agency's own class wins when it is stricter"
		}
	}
	return "the fire restrictions of " + answer.Jurisdiction + " are not in this program, only those of " + held + ": enter the fire agency's own class on the day sheet and follow its own restrictions"
}

func aboutTopic(topic string) string {
	if topic == "" {
		return ""
	}
	return "about " + topic + " "
}

// ruleSheet is the text of `rules show`.
func (a *app) ruleSheet(answer rulesAnswer) {
	r, p := answer.Rules[0], answer.Places[0]
	rows := [][]string{
		{"place", p.Code + ", " + p.Title},
		{"cites", cites(r.Rule)},
		{"topic", strings.Join(append([]string{r.Topic}, r.Also...), ", ")},
		{"duty", history(r.Rule) + r.Duty},
		{"the company's own", adoptedWords(r)},
		{"text", r.How},
		{"read on", readOnWords(r.Rule, a.dayNow())},
		{"version read", r.Version},
		{"where to read", r.Reference},
		{"note", r.Note},
		{"decides", p.Authority},
		{"about the place", p.Note},
	}
	var filled [][]string
	for _, row := range rows {
		if row[1] != "" {
			filled = append(filled, row)
		}
	}
	a.table([]string{"rule", r.ID}, filled)
}

// adopters names who put the company's rows in place.
func (a *app) adopters(list []ruleLine) error {
	for i, r := range list {
		if r.Adopted == nil {
			continue
		}
		people, err := a.crew()
		if err != nil {
			return err
		}
		list[i].AdoptedBy = people.handle(r.Adopted.By)
	}
	return nil
}

// ofCompany marks a row that the company wrote in a table's column.
func ofCompany(r ruleLine) string {
	if r.Adopted == nil {
		return ""
	}
	return "company's own (" + r.AdoptedBy + ", " + r.Adopted.On + "): "
}

func adoptedWords(r ruleLine) string {
	if r.Adopted == nil {
		return ""
	}
	return "put in place by " + r.AdoptedBy + " on " + r.Adopted.On + "; it is not from this program's list"
}

// cites names instrument and clause.
func cites(r rules.Rule) string {
	if r.Clause == "" {
		return r.Instrument
	}
	return r.Instrument + ", " + r.Clause
}

// dayNow is today without a book, which alone knows its zone.
func (a *app) dayNow() string { return a.now().UTC().Format(time.DateOnly) }

func readOnWords(r rules.Rule, today string) string {
	if r.ReadLongAgo(today) {
		return r.ReadOn + ", long ago: read it anew"
	}
	return r.ReadOn
}

// readShort says in a table's column how far the text was read; `rules show` says it in full.
func readShort(r rules.Rule, today string) string {
	switch {
	case r.TextRead() && r.ReadLongAgo(today):
		return "read long ago"
	case r.TextRead():
		return "read"
	case r.HeadingOnly:
		return "not read: heading only"
	case r.Read == rules.Secondary:
		return "not read: restatement"
	default:
		return "not read: memory"
	}
}

// withNote tells the duty together with what limits it, such as "written for chain saws".
func withNote(r rules.Rule) string {
	if r.Note == "" {
		return history(r) + r.Duty
	}
	return history(r) + r.Duty + " [" + r.Note + "]"
}

// history warns before a duty that is no longer in force.
func history(r rules.Rule) string {
	if r.Ended == "" {
		return ""
	}
	return "[not in force since " + r.Ended + "] "
}
