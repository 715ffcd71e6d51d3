package main

import (
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/against"
	"example.org/ringtrue/store/workbook"
)

const againstSheet = "Saw use"

// sawUses lists the uses of saws with what the book said of each at that moment, first those that it said no to.
func (e *exporter) sawUses() workbook.Sheet {
	var no []string
	for _, c := range against.Codes {
		no = append(no, string(c))
	}
	codes := func(title string) workbook.Column { return tinted(long(title, 30), no, nil) }
	columns := []workbook.Column{text("Entry", 9), kindOf("From", workbook.Moment), kindOf("Until", workbook.Moment), long("Worker", 22), text("Person id", 11), text("Saw", 8), text("Block", 8),
		text("Told as", 16), countOf("Minutes"), codes("First against, now"), long("Against, as known now", 44), long("Against, as known when recorded", 44), kindOf("Differs", workbook.Flag), text("Answered by", 12),
		text("Level", 12), text("Task group", 14), text("Release", 9), text("Restriction", 10), text("Joined", 9), text("With saw", 9), text("Check", 9), tinted(text("Answer", 16), []string{string(hazards.Hold)}, nil), text("Tag", 9)}
	return e.table(againstSheet, columns, func(yield func(...any) bool) error {
		cases, err := e.casesFor(anyUse, e.asked)
		if err != nil {
			return err
		}
		w, err := e.useWords(e.asked)
		if err != nil {
			return err
		}
		for _, c := range cases {
			if !e.filter.keepsUse(c) {
				continue
			}
			l := w.line(c)
			if !yield(l.Entry, e.at(c.From), e.at(c.Until), e.people.byID[c.Worker].Name, c.Worker, c.Saw, c.Block, string(c.Kind), minutesCell(l), firstCode(c.Now), texts(l.Now), texts(l.Then),
				l.Differs, strings.Join(l.AnsweredBy, ", "), l.Level, l.Group, l.Release, l.Restriction, l.Join, l.JoinedWith, l.Check, string(l.Answer), l.Tag) {
				return nil
			}
		}
		return nil
	})
}

func (e *exporter) at(unix int64) time.Time { return time.Unix(unix, 0).In(e.book.Zone()) }

// minutesCell is how long a saw ran; nothing stays blank.
func minutesCell(l usedLine) any {
	if l.Minutes == 0 {
		return nil
	}
	return l.Minutes
}

func firstCode(s against.Said) string {
	if !s.Against() {
		return ""
	}
	return string(s.Reasons[0].Code)
}

func texts(list []reasonLine) string {
	var all []string
	for _, r := range list {
		all = append(all, r.Text)
	}
	return strings.Join(all, "; ")
}

// keepsUse reports whether a use stays. One that names no worker or no block stays, as entries do.
func (f *filter) keepsUse(c against.Case) bool {
	return c.Until >= f.first && c.Until < f.end && f.who(c.Worker) && f.where(c.Block)
}
