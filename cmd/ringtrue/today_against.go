package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringtrue/hazards/against"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// mostAnswered is how many entries one command on the list names (company choice): a whole day on hold has many.
const mostAnswered = 12

// waitingAgainst: uses of saws against what the book said that no event answers for, however old. Those of one day and block that the same
// stood against are one thing to answer for.
func (a *app) waitingAgainst(_ standards, asked training.Asked) ([]todo, error) {
	cases, err := a.casesFor(anyUse, asked)
	if err != nil || len(cases) == 0 {
		return nil, err
	}
	w, err := a.useWords(asked)
	if err != nil {
		return nil, err
	}
	var order []string
	groups := map[string][]against.Case{}
	for _, c := range cases {
		if !c.Waits() || len(w.answered[c.Entry]) > 0 {
			continue
		}
		key := fmt.Sprint(w.dayOfUse(c), c.Block, w.first(c))
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], c)
	}
	var list []todo
	for _, key := range order {
		list = append(list, w.todo(groups[key]))
	}
	return list, nil
}

func (a *app) dayOfUse(c against.Case) civil.Day {
	return civil.Of(time.Unix(c.Until, 0), a.book.Zone())
}

// todo is one thing to answer for.
func (w useWords) todo(cases []against.Case) todo {
	var who []string
	for _, c := range cases {
		if one := strings.Join(notEmpty(w.people.handle(c.Worker), "saw "+c.Saw), " with "); !slices.Contains(who, one) {
			who = append(who, one)
		}
	}
	entries := w.entriesOf(cases)
	more := ""
	if len(entries) > mostAnswered {
		entries, more = entries[:mostAnswered], ", then the next"
	}
	c := cases[0]
	what := fmt.Sprintf("a saw ran against what the book said%s, %s: %s; %s", note(", block ", c.Block), w.dayOfUse(c), strings.Join(who, " and "), w.first(c))
	return todo{Rank: rankToday, What: what + more, Next: "ringtrue event add --kind incident --what TEXT --answers " + strings.Join(entries, ",")}
}

// first is the first thing that stands against a use, in words.
func (w useWords) first(c against.Case) string {
	said := c.Telling()
	return w.reason(c, said, said.Reasons[0])
}
