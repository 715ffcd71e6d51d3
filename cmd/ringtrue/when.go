package main

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/training/civil"
)

// Days and clock times are typed in many ways. Those that can be read in one way only are understood: 25.11.2026, 2026/11/25, 11/25/2026
// (no month is 25), today, yesterday, 6:30, 6.30, 6h30, and a day with a clock time. What could be two days, or lacks its year, is
// refused with the days that it could be.

var (
	yearFirst = regexp.MustCompile(`^(\d{4})[-./](\d{1,2})[-./](\d{1,2})$`)
	yearLast  = regexp.MustCompile(`^(\d{1,2})([./])(\d{1,2})[./](\d{4})$`)
	noYear    = regexp.MustCompile(`^(\d{1,2})([./])(\d{1,2})\.?$`)
	clockTime = regexp.MustCompile(`^(\d{1,2})[:.hH](\d{2})$`)
)

// meantTime writes a day, a clock time, or both as the command line takes them; what is not understood stays as it is. Without a today
// (civil.None) only days are.
func meantTime(text string, today civil.Day) string {
	text = strings.Join(strings.Fields(text), " ")
	if day, ok := meantDay(text, today); ok {
		return day
	}
	if clock, ok := meantClock(text); ok && today != civil.None {
		return today.String() + "T" + clock
	}
	for _, gap := range []string{" ", "T", "t"} {
		if i := strings.LastIndex(text, gap); i > 0 {
			day, ok1 := meantDay(text[:i], today)
			clock, ok2 := meantClock(text[i+1:])
			if ok1 && ok2 {
				return day + "T" + clock
			}
		}
	}
	return text
}

// meantDay reads a day that can be only one.
func meantDay(text string, today civil.Day) (string, bool) {
	for word, n := range map[string]civil.Day{"yesterday": -1, "today": 0, "tomorrow": 1} {
		if today != civil.None && strings.EqualFold(text, word) {
			return (today + n).String(), true
		}
	}
	if m := yearFirst.FindStringSubmatch(text); m != nil {
		return existingDay(m[1], m[2], m[3])
	}
	m := yearLast.FindStringSubmatch(text)
	if m == nil {
		return "", false
	}
	dayFirst, isDay := existingDay(m[4], m[3], m[1])
	monthFirst, isMonth := existingDay(m[4], m[1], m[3])
	switch {
	case isDay && (m[2] == "." || !isMonth || dayFirst == monthFirst): // with points the day stands first wherever they are used
		return dayFirst, true
	case isMonth && m[2] == "/" && !isDay:
		return monthFirst, true
	}
	return "", false
}

// existingDay writes a day that exists.
func existingDay(year, month, day string) (string, bool) {
	text := year + "-" + twoDigits(month) + "-" + twoDigits(day)
	_, err := civil.Parse(text)
	return text, err == nil
}

func twoDigits(number string) string { return strings.Repeat("0", max(0, 2-len(number))) + number }

// meantClock reads a clock time. With a point it could be a day and month as well; such a one is not understood.
func meantClock(text string) (string, bool) {
	m := clockTime.FindStringSubmatch(text)
	if m == nil {
		return "", false
	}
	hour, _ := strconv.Atoi(m[1])
	minute, _ := strconv.Atoi(m[2])
	if strings.Contains(text, ".") && minute >= 1 && minute <= 12 && hour >= 1 {
		return "", false
	}
	t := twoDigits(m[1]) + ":" + m[2]
	_, err := time.Parse("15:04", t)
	return t, err == nil
}

// perhaps names the days, or the clock time, that a text could mean.
func perhaps(text string, today civil.Day) []string {
	var list []string
	add := func(day string, ok bool) {
		if ok && (len(list) == 0 || list[0] != day) {
			list = append(list, day)
		}
	}
	if m := yearLast.FindStringSubmatch(text); m != nil {
		add(existingDay(m[4], m[3], m[1]))
		add(existingDay(m[4], m[1], m[3]))
	}
	if m := noYear.FindStringSubmatch(text); m != nil && today != civil.None {
		year := strconv.Itoa(today.Year())
		add(existingDay(year, m[3], m[1]))
		if m[2] == "/" {
			add(existingDay(year, m[1], m[3]))
		} else if hour, _ := strconv.Atoi(m[1]); hour < 24 && len(m[3]) == 2 {
			list = append(list, twoDigits(m[1])+":"+m[3])
		}
	}
	return list
}

// timeNext says how to write a time that was not understood.
func timeNext(text string, today civil.Day) string {
	if list := perhaps(strings.TrimSpace(text), today); len(list) > 0 {
		return "nearest: " + strings.Join(list, " or ") + "; " + timeHelp
	}
	return timeHelp
}
