package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/store/workbook"
)

const peopleSheet = "People"

// crewSheet lists everybody on the crew list with all that is stored of them: whose worker, young until when, how reached, what named as.
func (e *exporter) crewSheet() workbook.Sheet {
	columns := []workbook.Column{text("Short id", 12), long("Worker", 22), text("Person id", 11), text("Crew", 10), kindOf("From", workbook.Day), kindOf("Left", workbook.Day),
		text("Employer", 16), long("Document", 24), kindOf("Young until", workbook.Day), long("Reached by", 22), countOf("Seasons before"), long("Named as", 36)}
	return e.table(peopleSheet, columns, func(yield func(...any) bool) error {
		list := slices.DeleteFunc(slices.Clone(e.onList), func(w onList) bool { return !e.filter.who(w.Worker) })
		if err := e.addDuties(list, e.asked); err != nil {
			return err
		}
		for _, w := range list {
			if !yield(w.Short, w.Name, w.Worker, w.Crew, dayCell(w.From), dayCell(w.Left), w.Employer, w.Document, dayCell(w.Young), w.Contact, seasonsNumber(w.SeasonsBefore), strings.Join(w.Duties, ", ")) {
				return nil
			}
		}
		return nil
	})
}

// seasonsNumber is blank where nobody asked.
func seasonsNumber(before *int) any {
	if before == nil {
		return nil
	}
	return *before
}
