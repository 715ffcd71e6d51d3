package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training/civil"
)

// rosterOf reads a CSV text as a list without a book behind it: titles and days are found, nothing is recorded.
func rosterOf(text string, o readOptions) (*reading, []*rosterTable, error) {
	r := &reading{o: o, said: map[string]*saidAt{}}
	var err error
	if r.file, err = workbook.ParseFilled([]byte(text), workbook.ForeignLimits()); err != nil {
		return r, nil, err
	}
	tables, err := r.tables()
	for _, t := range tables {
		t.check()
	}
	return r, tables, err
}

func TestRosterDays(t *testing.T) {
	for name, c := range map[string]struct {
		days  string // one below the other
		o     readOptions
		want  string // of the first day
		fault string
	}{
		"ISO":                     {days: "2024-05-04", want: "2024-05-04"},
		"named month":             {days: "4 May 2024", want: "2024-05-04"},
		"named month first":       {days: "\"May 4, 2024\"", want: "2024-05-04"},
		"equal figures":           {days: "05/05/2024", want: "2024-05-05"},
		"shown by another row":    {days: "04/05/2024 17/05/2024", want: "2024-05-04"},
		"shown month first":       {days: "04/05/2024 05/17/2024", want: "2024-04-05"},
		"stated day first":        {days: "04.05.2024", o: readOptions{dayFirst: true}, want: "2024-05-04"},
		"stated month first":      {days: "04-05-2024", o: readOptions{monthFirst: true}, want: "2024-04-05"},
		"either":                  {days: "04/05/2024 2024-01-01 06/07/2024", fault: "either way round in rows 2, 4"},
		"both":                    {days: "17/05/2024 05/17/2024", fault: "day first in row 2, month first in row 3"},
		"stated, and not so":      {days: "05/17/2024", o: readOptions{dayFirst: true}, fault: "row 2 cannot be read so"},
		"no such day":             {days: "30/02/2024", fault: "no day that exists"},
		"29 February":             {days: "29/02/2024", want: "2024-02-29"},
		"29 February of no leap":  {days: "29/02/2023", fault: "no day that exists"},
		"29 February 1900":        {days: "29/02/1900", fault: "no day that exists"},
		"two digits of year":      {days: "17/05/24", fault: "two digits for the year"},
		"two digits, month named": {days: "5-Jun-24", fault: "two digits for the year"},
		"serial number in CSV":    {days: "45416", fault: "no day that exists"},
	} {
		lines := "Name,First day\n"
		for i, d := range strings.Fields(strings.ReplaceAll(c.days, " May ", "\x01May\x01")) {
			d = strings.ReplaceAll(d, "\x01", " ")
			lines += "Person " + string(rune('A'+i)) + "," + d + "\n"
		}
		if strings.HasPrefix(c.days, `"`) {
			lines = "Name,First day\nPerson A," + c.days + "\n"
		}
		r, tables, err := rosterOf(lines, c.o)
		require.NoError(t, err, name)
		got := tables[0].day(1, "from")
		if c.fault != "" {
			require.ErrorContains(t, r.p.err(), c.fault, name)
			continue
		}
		require.NoError(t, r.p.err(), name)
		require.Equal(t, c.want, got, name)
	}
}

func TestRosterTitles(t *testing.T) {
	for title, field := range map[string]string{
		"Name": "name", " EMPLOYEE ": "name", "Hire date": "from", "hire-date": "from", "Cert. No": "document", "Boss": "", "Hired (dd/mm/yyyy)": "from", "Certificate No.": "document",
		"Équipe": "crew", "Bore (mm)": "bore", "E-Mail": "contact", "": "", "()": "", "first-name": "first-name",
	} {
		require.Equal(t, field, rosterFieldOf(title, nil), title)
	}
	keys := map[string]string{}
	for name, f := range rosterFields {
		for _, title := range append([]string{f.title, name}, f.also...) {
			other, taken := keys[rosterKey(title)]
			require.True(t, !taken || other == name, "%q stands for %s and %s", title, name, other)
			keys[rosterKey(title)] = name
		}
	}
	for _, s := range rosterSheets() {
		require.Len(t, s.example, len(s.fields), s.name)
		for _, f := range s.fields {
			require.Contains(t, rosterFields, f, s.name)
		}
	}
}

func TestNumbersAndClocksOfCells(t *testing.T) {
	for text, want := range map[string]string{"125": "125", "125.0": "125", "0.30000000000000004": "0.3", "1e3": "1000", "-2.5": "-2.5", "2,5": "", "": "", "NaN": "", "Inf": "", "0x10": "", "1_0": ""} {
		got, ok := number(text)
		require.Equal(t, want != "", ok, text)
		require.Equal(t, want, got, text)
	}
	for text, want := range map[string]string{"10:20": "10:20", "7:05": "07:05", "10:20:59": "10:20", "0.430555555555556": "10:20", "0": "00:00", "0.99999999": "", "24:00": "", "10:60": "", "10": "", "": "", "1.5": ""} {
		got, ok := clockOf(text)
		require.Equal(t, want != "", ok, text)
		if ok {
			require.Equal(t, want, got, text)
		}
	}
}

func TestDecimalCommas(t *testing.T) {
	for text, want := range map[string]string{"2,5": "2.5", "-2,5 cm": "-2.5 cm", "0,125": "0.125", "1,2345": "1.2345", "12": "12", "1,2,3": "1,2,3", "": "", "plug, fins": "plug, fins"} {
		got, err := withPoint(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"1,250", "12,500L"} {
		_, err := withPoint(text)
		require.ErrorContains(t, err, "may be 1", text)
	}
}

func TestUnitsOfTitles(t *testing.T) {
	for text, want := range map[string]string{"200-225": "200mm-225mm", "200 \u2013 225": "200mm-225mm", "20,5": "20.5mm", "225": "225mm", "9in": "9in", "200mm-225mm": "200mm-225mm", "": ""} {
		require.Equal(t, want, withUnit(text, "mm"), text)
	}
	for unit, want := range map[string]string{"dd/mm/yyyy": dayFirst, "DD.MM.YYYY": dayFirst, "m/d/y": monthFirst, "yyyy-mm-dd": "", "mm": "", "optional": "", "medium": "", "": ""} {
		require.Equal(t, want, titleOrder(unit), unit)
	}
}

func TestGivenNamesFirst(t *testing.T) {
	for name, want := range map[string]string{"Ruiz, Ana": "Ana Ruiz", "Ana Ruiz": "Ana Ruiz", "Ruiz,": "Ruiz,", "a, b, c": "a, b, c", ", Ana": ", Ana"} {
		require.Equal(t, want, givenFirst(name), name)
	}
}

// A day on a form is taken where it can be only one.
func TestDaysOfForms(t *testing.T) {
	for text, want := range map[string]string{"2026-05-07": "2026-05-07", "46147": "2026-05-05", "7 May 2026": "2026-05-07", "17/05/2026": "2026-05-17", "5/17/2026": "2026-05-17", "05.05.2026": "2026-05-05"} {
		day, err := dayOf(workbook.Filled{}, text)
		require.NoError(t, err, text)
		require.Equal(t, want, day.String(), text)
	}
	for text, fault := range map[string]string{"07/05/2026": "day first or month first", "7.5.26": "two digits for the year", "Monday": "no day that exists", "60": "stands for no day"} {
		_, err := dayOf(workbook.Filled{}, text)
		require.ErrorContains(t, err, fault, text)
	}
}

// What was written where nothing is read is said.
func TestBesideTheForm(t *testing.T) {
	form := &filledForm{reading: &reading{}, rows: [][]string{{"Upkeep"}, {"Done by", "ana", "and ben"}, {"Day", "2026-05-05"}, {"Saw", "Daily"}, {"S1", "yes", "", "rock"}, {"S2"}}}
	form.sayBeside(3, 2, labelDoneBy, labelDay)
	require.Equal(t, []string{"written beside the form, and not read: Fill in!C2 (and ben), Fill in!D5 (rock)"}, form.notes)
	form = &filledForm{reading: &reading{}, rows: [][]string{{"Looks"}, {"", "Observed by", "luis"}, {"", "Day", "2026-05-05"}, {"Point", "ana"}, {"3.3:elbow", "met"}}}
	form.sayBeside(3, 2, labelObserver, labelDay)
	require.Empty(t, form.notes)
}

// Whatever a list says, it is refused or read, and a day that is read exists.
func FuzzRoster(f *testing.F) {
	f.Add("Name;Hire date\nRosa Lind;17/05/2024\n", true, false)
	f.Add("First name,Last name,Day\nA,B,04/05/2024\n", false, false)
	f.Add("Saw,Spindle (rpm),Blades\nS1,9000,200mm\n", false, true)
	f.Fuzz(func(t *testing.T, text string, dayFirst, monthFirst bool) {
		r, tables, err := rosterOf(text, readOptions{dayFirst: dayFirst, monthFirst: monthFirst && !dayFirst})
		if err != nil {
			return
		}
		for _, list := range tables {
			for row := list.top + 1; row < len(list.rows); row++ {
				for field := range list.column {
					if day := list.day(row, field); day != "" {
						_, err := civil.Parse(day)
						require.NoError(t, err)
					}
					require.NotContains(t, list.text(row, field), "\n")
				}
				list.who(row)
			}
		}
		_ = r.p.err()
	})
}

// Whatever stands on a form, its cells are read or refused.
func FuzzFormCells(f *testing.F) {
	f.Add("Day", "46147", "10:20", "%")
	f.Add("Observed by", "0.38", "0.43", "deg")
	f.Fuzz(func(t *testing.T, label, text, clock, unit string) {
		form := &filledForm{reading: &reading{said: map[string]*saidAt{}}, rows: [][]string{{label, text}, {}, {clock, text, label}}}
		got, place := form.beside(label, 2)
		if label == strings.TrimSpace(label) { // a label has no spaces around it
			require.Equal(t, strings.TrimSpace(text), got)
		}
		if c := form.clock(clock, place); c != "" {
			require.Len(t, c, len("10:20"))
		}
		form.quantity(0, 1, unit)
		form.word(0, 1, "yes", "no")
		form.blank(1, 0)
		_, _ = dayOf(form.file, text)
	})
}
