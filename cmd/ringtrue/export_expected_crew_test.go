//go:build outside

package main

import (
	"strconv"
	"strings"
)

// crewList are rows of the sheet People: what the list of workers says of each.
func crewList(b *bench, asked []string) sheetExpected {
	s := sheetExpected{name: "People", titles: strings.Split("Short id,Worker,Person id,Crew,From,Left,Employer,Document,Young until,Reached by,Seasons before,Named as", ",")}
	type answer struct {
		Rows []onList `json:"rows"`
	}
	for _, w := range object[answer](b, append([]string{"worker", "list"}, asked...)...).Rows {
		seasons := ""
		if w.SeasonsBefore != nil {
			seasons = strconv.Itoa(*w.SeasonsBefore)
		}
		s.rows = append(s.rows, []string{w.Short, w.Name, w.Worker, w.Crew, w.From, w.Left, w.Employer, w.Document, w.Young, w.Contact, seasons, strings.Join(w.Duties, ", ")})
	}
	return s
}
