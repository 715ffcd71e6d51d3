package workbook

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training/civil"
)

// The first four rows are those of ECMA-376 1st edition part 4, "Date Representation" (the rule for 61, and the worked
// values of DATEVALUE), read in a copy of its text. The last one is arithmetic: 126 years from 1900 to 2025 have
// 126 × 365 + 32 days counting the 29 February 1900 that never was (1900, 1904 … 2024 are 32 years), which puts
// 2026-01-01 on 46023; 25 November is day 329 of a common year.
func TestSerialNumbersOfDays(t *testing.T) {
	for _, c := range []struct {
		day  string
		want int64
	}{
		{"1900-03-01", 61}, {"1910-02-03", 3687}, {"2006-02-01", 38749}, {"9999-12-31", 2958465},
		{"2026-11-25", 126*365 + 32 + 1 + 328},
	} {
		got, err := Column{Kind: Day}.cell(day(t, c.day), time.UTC)
		require.NoError(t, err)
		require.Equal(t, c.want, got, c.day)
	}
	require.Equal(t, 46351, 126*365+32+1+328)
}

// serial counts days one year and one month at a time, with the calendar's rule and without any code of the package.
func serial(y, m, d int) int64 {
	leap := func(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }
	days := 1 // the 29 February 1900 that never was
	for year := 1900; year < y; year++ {
		days += 365
		if leap(year) {
			days++
		}
	}
	lengths := [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	for month := 1; month < m; month++ {
		days += lengths[month-1]
		if month == 2 && leap(y) {
			days++
		}
	}
	return int64(days + d)
}

func TestSerialNumbersCountDays(t *testing.T) {
	require.Equal(t, int64(61), serial(1900, 3, 1))
	rapid.Check(t, func(t *rapid.T) {
		y, m := rapid.IntRange(1901, 9999).Draw(t, "year"), rapid.IntRange(1, 12).Draw(t, "month")
		d := rapid.IntRange(1, 28).Draw(t, "day")
		got, err := Column{Kind: Day}.cell(civil.Date(y, time.Month(m), d), time.UTC)
		require.NoError(t, err)
		require.Equal(t, serial(y, m, d), got)
	})
}

func TestDaysOutsideTheDateSystemAreRefused(t *testing.T) {
	for _, d := range []civil.Day{day(t, "1900-03-01") - 1, day(t, "9999-12-31") + 1, day(t, "1899-12-31")} {
		_, err := Column{Kind: Day}.cell(d, time.UTC)
		require.ErrorContains(t, err, "is not within 1900-03-01 to 9999-12-31")
	}
	for _, at := range []time.Time{
		time.Date(1900, 2, 28, 23, 59, 59, 0, time.UTC), time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC),
	} {
		_, err := Column{Kind: Moment}.cell(at, time.UTC)
		require.ErrorContains(t, err, "is not within 1900-03-01 to 9999-12-31")
	}
	_, err := Column{Kind: Moment}.cell(time.Date(9999, 12, 31, 23, 59, 59, 0, time.UTC), time.UTC)
	require.NoError(t, err)
}

func TestMomentsAreClockTimesInTheZone(t *testing.T) {
	vancouver, err := time.LoadLocation("America/Vancouver")
	require.NoError(t, err)
	kathmandu := time.FixedZone("", 5*3600+45*60)
	for _, c := range []struct {
		at    string
		zone  *time.Location
		day   int64
		clock float64 // seconds of the day
	}{
		{"2026-11-25T00:00:00Z", time.UTC, 46351, 0},
		{"2026-11-25T12:00:00Z", time.UTC, 46351, 43200},
		{"2026-11-25T23:59:59.999Z", time.UTC, 46351, 86399},
		{"2026-11-25T07:59:59Z", vancouver, 46350, 86399}, // 23:59:59 the day before, at -08:00
		{"2026-07-14T06:00:00Z", vancouver, 46216, 82800}, // 23:00 the day before, at -07:00
		{"2026-11-01T08:30:00Z", vancouver, 46327, 5400},  // 01:30 at -07:00, before the clock goes back
		{"2026-11-01T09:30:00Z", vancouver, 46327, 5400},  // 01:30 at -08:00, after it
		{"2026-11-25T18:15:00Z", kathmandu, 46352, 0},
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		require.NoError(t, err)
		got, err := Column{Kind: Moment}.cell(at, c.zone)
		require.NoError(t, err)
		require.InDelta(t, float64(c.day)+c.clock/86400, got, 1e-9, c.at)
	}
}

func TestNumbersThatACellCannotHold(t *testing.T) {
	number := Column{Kind: Number}
	for _, v := range []any{1 << 53, int64(-1 << 53), int64(math.MaxInt64), math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := number.cell(v, time.UTC)
		require.Error(t, err, v)
	}
	for _, v := range []any{0, 1<<53 - 1, int64(1 - 1<<53), 0.1, -1e300, math.Copysign(0, -1)} {
		got, err := number.cell(v, time.UTC)
		require.NoError(t, err)
		require.Equal(t, v, got)
	}
}

func TestKindsDoNotMix(t *testing.T) {
	values := map[Kind]any{Text: "7", Number: 7, Day: civil.Day(20000), Moment: created, Flag: true}
	require.Len(t, values, int(Flag)+1)
	for kind := range values {
		for of, v := range values {
			_, err := Column{Kind: kind}.cell(v, time.UTC)
			require.Equal(t, kind == of, err == nil, "%s in a column of %s", of, kind)
		}
		for _, v := range []any{[]byte("x"), float32(1), uint8(1), struct{}{}, time.Second, func() {}} {
			_, err := Column{Kind: kind}.cell(v, time.UTC)
			require.ErrorContains(t, err, "does not belong in a column of "+kind.String())
		}
		for _, v := range []any{nil, map[Kind]any{Text: "", Day: civil.None, Moment: time.Time{}}[kind]} {
			got, err := Column{Kind: kind}.cell(v, time.UTC)
			require.NoError(t, err)
			require.Nil(t, got)
		}
	}
}

func TestLongTextIsRefusedNotCut(t *testing.T) {
	for _, c := range []struct {
		text string
		ok   bool
	}{
		{strings.Repeat("x", 32767), true},
		{strings.Repeat("x", 32768), false},
		{strings.Repeat("å", 32767), true}, // one unit, two bytes
		{strings.Repeat("å", 32768), false},
		{strings.Repeat("🌲", 16383) + "x", true}, // two units, four bytes
		{strings.Repeat("🌲", 16384), false},
		{strings.Repeat("\xff", 32767), true},
		{strings.Repeat("\xff", 32768), false},
	} {
		_, err := Column{}.cell(c.text, time.UTC)
		require.Equal(t, c.ok, err == nil)
		if !c.ok {
			require.ErrorContains(t, err, "text of 32768 UTF-16 units; a cell holds 32767")
			continue
		}
		sheets, err := Read(save(t, texts(c.text)), ForeignLimits())
		require.NoError(t, err)
		require.True(t, carried(c.text) == sheets[0].Rows[1][0])
	}
}

func TestWhatACellCannotCarryShows(t *testing.T) {
	for text, want := range map[string]string{
		"a\x00b":                  `a\u0000b`,
		"bell\a, escape\x1b":      `bell\u0007, escape\u001b`,
		"\uFFFE":                  "\uFFFD",
		"not \xff UTF-8":          "not \uFFFD UTF-8",
		"_xD800_ and _xdFfF_":     "\uFFFD and \uFFFD",
		"_x0041_ _x0000_ _x005F_": "_x0041_ _x0000_ _x005F_",
		"_x0D80_x0041_x":          "\uFFFDx",
		"tab\tline\nfeed\rreturn": "tab\tline\nfeed" + `\u000dreturn`,
		" spaces ":                " spaces ",
		`<&>"'`:                   `<&>"'`,
		"-0":                      "-0",
		"1e5":                     "1e5",
		"00123":                   "00123",
		"2026-11-25":              "2026-11-25",
	} {
		sheets, err := Read(save(t, texts(text)), ForeignLimits())
		require.NoError(t, err)
		require.Equal(t, []string{want}, sheets[0].Rows[1])
	}
}

// Text comes back as it went in, but for what cannot be carried.
func TestTextRoundTrip(t *testing.T) {
	dir := t.TempDir()
	piece := rapid.OneOf(rapid.String(), rapid.StringMatching(`(_x|x|_|0041|005F|D800|dFfF|0000|5|F){0,9}`), rapid.StringMatching(`[=+\-@\t\n\r ']{1,3}`),
		rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }))
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(piece, 1, 8).Draw(t, "lines")
		path := dir + "/out.xlsx"
		_, err := Write(bg, path, texts(lines...))
		require.NoError(t, err)
		sheets, err := Read(path, ForeignLimits())
		require.NoError(t, err)
		for i, line := range lines {
			got := ""
			if rows := sheets[0].Rows; i+1 < len(rows) && len(rows[i+1]) > 0 {
				got = rows[i+1][0]
			}
			require.Equal(t, carried(line), got)
		}
	})
}

// asShown is a text whose control characters but tab and line break, and whose marks of direction, separators of lines and byte order marks,
// stand as escapes. The marks are those with Bidi_Control in Unicode 15's PropList.txt.
func asShown(s string) string {
	var b strings.Builder
	for _, r := range s {
		if unicode.IsControl(r) && r != '\t' && r != '\n' || strings.ContainsRune("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u2028\u2029\ufeff", r) {
			fmt.Fprintf(&b, "\\u%04x", r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// carried says what is left of a text: by the rules of XML 1.0 §2.2 (Char), and without spelled halves of characters
// and spelled characters that share an underscore.
func carried(s string) string {
	s = asShown(s)
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\t', r == '\n', 0x20 <= r && r <= 0xD7FF, 0xE000 <= r && r <= 0xFFFD, r >= 0x10000:
			return r
		}
		return '\uFFFD'
	}, s) // a byte that is not UTF-8 counts as U+FFFD
	for _, spelled := range []string{`_x(?i:[0-9a-f]{4})(_x(?i:[0-9a-f]{4}))+_`, `_x(?i:d[89a-f][0-9a-f]{2})_`} {
		s = regexp.MustCompile(spelled).ReplaceAllString(s, "\uFFFD")
	}
	return s
}
