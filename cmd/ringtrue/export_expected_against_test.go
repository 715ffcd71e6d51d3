//go:build outside

package main

import (
	"strconv"
	"strings"
	"time"
)

// sawUses are rows of the sheet Saw use: what the command says of each use, cell by cell. That it is right is asked elsewhere, of the demo's own
// list of what it planted.
func (d *dump) sawUses(b *bench, asked []string) sheetExpected {
	s := sheetExpected{name: "Saw use", titles: strings.Split("Entry,From,Until,Worker,Person id,Saw,Block,Told as,Minutes", ",")}
	s.titles = append(s.titles, "First against, now", "Against, as known now", "Against, as known when recorded", "Differs", "Answered by", "Level", "Task group", "Release", "Restriction", "Joined", "With saw",
		"Check", "Answer", "Tag")
	texts := func(list []reasonLine) (out string, first string) {
		for i, r := range list {
			if i == 0 {
				first = string(r.Code)
			} else {
				out += "; "
			}
			out += r.Text
		}
		return out, first
	}
	moment := func(text string) string {
		at, _ := time.Parse(time.RFC3339, text)
		return at.In(d.zone).Format(time.DateTime)
	}
	for _, l := range object[againstAnswer](b, append([]string{"evidence", "against"}, asked...)...).Rows {
		minutes := ""
		if l.Minutes > 0 {
			minutes = strconv.FormatInt(l.Minutes, 10)
		}
		now, first := texts(l.Now)
		then, _ := texts(l.Then)
		s.rows = append(s.rows, []string{l.Entry, moment(l.From), moment(l.Until), d.names[l.Worker], l.Worker, l.Saw, l.Block, string(l.Kind), minutes, first, now, then,
			strings.ToUpper(strconv.FormatBool(l.Differs)), strings.Join(l.AnsweredBy, ", "), l.Level, l.Group, l.Release, l.Restriction, l.Join, l.JoinedWith, l.Check, string(l.Answer), l.Tag})
	}
	return s
}
