package main

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training/civil"
)

// word reads a cell that takes one of some words, "" where it is blank or wrong.
func (f *filledForm) word(row, column int, words ...string) string {
	text := f.cell(row, column)
	for _, w := range words {
		if strings.EqualFold(text, w) {
			return w
		}
	}
	if text != "" {
		f.wrong(f.place(row, column), mend, "%q is none of: %s", text, strings.Join(words, ", "))
	}
	return ""
}

// quantity reads a cell that takes a number in a unit, or a text with a unit.
func (f *filledForm) quantity(row, column int, unit string) string {
	text, err := withPoint(f.cell(row, column))
	f.at(f.place(row, column), err)
	n, ok := number(text)
	if !ok {
		return text
	}
	if v, err := strconv.ParseFloat(n, 64); unit == "%" && err == nil && v > 0 && v < 1 {
		f.wrong(f.place(row, column), mend, "%s may be %s %% typed with its sign; write the number alone, or a text such as \"0.5%%\"", n, strconv.FormatFloat(v*100, 'g', 6, 64))
	}
	return n + unit
}

// commaNumber is a number with a comma in it, perhaps with its unit behind it.
var commaNumber = regexp.MustCompile(`^([-+]?)(\d+),(\d+)(\D*)$`)

// withPoint writes a decimal comma as a point. Three digits behind it may be thousands: that is refused, unless a zero
// stands before it.
func withPoint(text string) (string, error) {
	m := commaNumber.FindStringSubmatch(text)
	switch {
	case m == nil:
		return text, nil
	case len(m[3]) == 3 && strings.Trim(m[2], "0") != "":
		return m[1] + m[2] + m[3] + m[4], refuse("write the number without a comma", "%q may be %s%s or %s.%s", text, m[2], m[3], m[2], m[3])
	}
	return m[1] + m[2] + "." + m[3] + m[4], nil
}

// number writes a number as people do; programs store some with a long tail of digits.
func number(text string) (string, bool) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(text, "xX_pP") {
		return "", false
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64) // 15 digits are what a cell shows
	return strconv.FormatFloat(v, 'f', -1, 64), true
}

// clockOf reads a clock time as typed, or as a part of a day.
func clockOf(text string) (string, bool) {
	if v, err := strconv.ParseFloat(text, 64); err == nil && v >= 0 && v < 1 {
		minutes := int(math.Round(v * 24 * 60))
		return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60), minutes < 24*60
	}
	h, m, ok := strings.Cut(text, ":")
	m, _, _ = strings.Cut(m, ":")
	hour, err := strconv.Atoi(h)
	minute, err2 := strconv.Atoi(m)
	if !ok || err != nil || err2 != nil || len(m) != 2 || hour < 0 || hour > 23 || minute < 0 || minute > 59 {
		return "", false
	}
	return fmt.Sprintf("%02d:%02d", hour, minute), true
}

// momentText joins a day and a clock time, which may be blank.
func momentText(day, clock string) string {
	if day == "" || clock == "" {
		return day
	}
	return day + "T" + clock
}

// dayOf reads a day as typed, or as the serial number of a cell. Day and month in figures are taken only where one of them can be no
// month.
func dayOf(file workbook.Filled, text string) (civil.Day, error) {
	if v, err := strconv.ParseFloat(text, 64); err == nil && !file.CSV {
		day, _, err := file.Moment(v)
		if err != nil {
			return civil.None, refuse(mend, "%v", err)
		}
		return day, nil
	}
	if day, err := civil.Parse(text); err == nil {
		return day, nil
	}
	shows, _, open := order(text)
	if open {
		return civil.None, refuse("write days as 2026-05-04", "%q may be day first or month first", text)
	}
	if day, ok := wordDay(text, shows); ok {
		return day, nil
	}
	return civil.None, noDay(text)
}
