package main

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/training/civil"
)

// Orders of day and month in a column.
const (
	dayFirst   = "day first"
	monthFirst = "month first"
)

// figureDay is a day in figures whose order is not said: 04/05/2026, 4.5.2026, 04-05-2026. Years have four digits.
var figureDay = regexp.MustCompile(`^(\d{1,2})([/.-])(\d{1,2})[/.-](\d{4})$`)

// wordDays are the forms of a day that name the month.
var wordDays = []string{"2 Jan 2006", "2 January 2006", "Jan 2 2006", "January 2 2006", "2-Jan-2006", "Jan 2, 2006", "January 2, 2006"}

// order says what the figures of one day show of their order: nothing where both may be months. Equal figures mean the
// same day either way.
func order(text string) (shows string, inFigures, open bool) {
	m := figureDay.FindStringSubmatch(text)
	if m == nil {
		return "", false, false
	}
	a, _ := strconv.Atoi(m[1])
	b, _ := strconv.Atoi(m[3])
	switch {
	case a > 12:
		return dayFirst, true, false
	case b > 12:
		return monthFirst, true, false
	}
	return "", true, a != b
}

// settleDays finds the order of day and month in a column: the one that is stated, else the one that its own days show. A column
// whose days may be either, or are both, is refused with its rows.
func (t *rosterTable) settleDays(field string) {
	rows := map[string][]string{}
	for row := range t.data() {
		shows, inFigures, open := order(t.text(row, field))
		if inFigures && (open || shows != "") {
			rows[shows] = append(rows[shows], strconv.Itoa(row+1))
		}
	}
	column, stated := t.column[field], ""
	switch {
	case t.o.dayFirst:
		stated = dayFirst
	case t.o.monthFirst:
		stated = monthFirst
	default:
		stated = titleOrder(t.unit[field])
	}
	where := t.name + ", column " + rosterFields[field].title
	days, months, either := rows[dayFirst], rows[monthFirst], rows[""]
	switch {
	case len(days) > 0 && len(months) > 0:
		t.wrong(where, "write the days as 2026-05-04", "day and month stand in both orders: day first in %s, month first in %s", rowList(days), rowList(months))
	case stated == dayFirst && len(months) > 0, stated == monthFirst && len(days) > 0:
		t.wrong(where, "state the order that the file has, or write the days as 2026-05-04", "%s is stated, and %s cannot be read so", stated, rowList(append(days, months...)))
	case stated != "":
		t.days[column] = stated
	case len(days) > 0:
		t.days[column] = dayFirst
	case len(months) > 0:
		t.days[column] = monthFirst
	case len(either) > 0:
		t.wrong(where, "state the order: --day-first or --month-first", "day and month may be either way round in %s", rowList(either))
	}
	if stated == "" && t.days[column] != "" && len(either) > 0 {
		t.notes = append(t.notes, fmt.Sprintf("%s: read %s, as shown by %s", where, t.days[column], rowList(append(days, months...))))
	}
}

// orderForm is how a title states an order.
var orderForm = regexp.MustCompile(`(?i)^(dd?[/. -]m|mm?[/. -]d)`)

// titleOrder is the order that a title states behind it, as in "Hired (dd/mm/yyyy)", else "".
func titleOrder(unit string) string {
	switch {
	case !orderForm.MatchString(unit):
		return ""
	case strings.EqualFold(unit[:1], "d"):
		return dayFirst
	}
	return monthFirst
}

// mostRowsNamed is how many rows a message names (company choice).
const mostRowsNamed = 12

func rowList(rows []string) string {
	more := ""
	if len(rows) > mostRowsNamed {
		more = fmt.Sprintf(" and %d more", len(rows)-mostRowsNamed)
		rows = rows[:mostRowsNamed]
	}
	word := "rows "
	if len(rows) == 1 {
		word = "row "
	}
	return word + strings.Join(rows, ", ") + more
}

// day reads a day of a row as YYYY-MM-DD, "" where the cell is blank or wrong.
func (t *rosterTable) day(row int, field string) string {
	text := t.text(row, field)
	if text == "" {
		return ""
	}
	d, ok := t.dayIn(text, t.days[t.column[field]])
	if !ok {
		if _, inFigures, _ := order(text); !inFigures || t.days[t.column[field]] != "" {
			t.at(t.place(row, field), noDay(text))
		}
		return ""
	}
	return d.String()
}

// shortYear is a day whose year has two digits: 4/5/24, 4.5.24, 4-May-24.
var shortYear = regexp.MustCompile(`^\d{1,2}[/. -](\d{1,2}|\pL+)[/. -]\d{2}$`)

// noDay refuses a text that is no day.
func noDay(text string) error {
	if shortYear.MatchString(text) {
		return refuse("write days as 2026-05-04, years with four digits", "%q has two digits for the year, which may be of two centuries", text)
	}
	return refuse("write days as 2026-05-04, years with four digits", "%q is no day that exists", text)
}

// dayIn is dayOf where the order of day and month in figures is known of the column; where it is not, that was refused once for the whole
// column.
func (t *rosterTable) dayIn(text, inOrder string) (civil.Day, bool) {
	if _, inFigures, _ := order(text); inFigures && inOrder != "" {
		return wordDay(text, inOrder)
	}
	d, err := dayOf(t.file, text)
	return d, err == nil
}

// wordDay reads a day that names its month, or one in figures of an order: day first where none is given.
func wordDay(text, inOrder string) (civil.Day, bool) {
	if m := figureDay.FindStringSubmatch(text); m != nil {
		day, month := m[1], m[3]
		if inOrder == monthFirst {
			day, month = month, day
		}
		when, err := time.Parse("2 1 2006", strings.TrimLeft(day, "0")+" "+strings.TrimLeft(month, "0")+" "+m[4])
		return civil.Of(when, time.UTC), err == nil
	}
	for _, form := range wordDays {
		if when, err := time.Parse(form, text); err == nil {
			return civil.Of(when, time.UTC), true
		}
	}
	return civil.None, false
}
