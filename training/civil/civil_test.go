package civil

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func day(t *testing.T, s string) Day {
	t.Helper()
	d, err := Parse(s)
	require.NoError(t, err)
	return d
}

// The clamping rows follow W3C XML Schema Part 2 (second edition) appendix E, which pins the day to the month's end.
func TestAddMonthsClampsToTheEndOfTheMonth(t *testing.T) {
	for _, c := range []struct {
		from string
		n    int
		want string
	}{
		{"2026-01-31", 1, "2026-02-28"},
		{"2024-01-31", 1, "2024-02-29"},
		{"2024-02-29", 36, "2027-02-28"},
		{"2024-02-29", 48, "2028-02-29"},
		{"2026-03-31", -1, "2026-02-28"},
		{"2026-12-15", 1, "2027-01-15"},
		{"2000-01-30", 1, "2000-02-29"},
		{"2100-01-30", 1, "2100-02-28"},
	} {
		require.Equal(t, c.want, day(t, c.from).AddMonths(c.n).String(), "%s + %d months", c.from, c.n)
	}
}

func TestParseRefusesDaysThatDoNotExist(t *testing.T) {
	for _, s := range []string{"2026-02-29", "2026-13-01", "2026-1-1", "26-01-01", "", "2026-01-01T10:00"} {
		_, err := Parse(s)
		require.Error(t, err, s)
	}
}

func TestDayOfMomentDependsOnZone(t *testing.T) {
	van, err := time.LoadLocation("America/Vancouver")
	require.NoError(t, err)
	at := time.Date(2026, 7, 14, 5, 30, 0, 0, time.UTC)
	require.Equal(t, "2026-07-13", Of(at, van).String())
	require.Equal(t, "2026-07-14", Of(at, time.UTC).String())
	require.Equal(t, day(t, "2026-07-14").Start(van), day(t, "2026-07-13").End(van))
}

func TestNextYearly(t *testing.T) {
	require.Equal(t, "2027-05-31", day(t, "2026-05-31").NextYearly(time.May, 31).String())
	require.Equal(t, "2026-05-31", day(t, "2026-05-30").NextYearly(time.May, 31).String())
	require.Equal(t, "2027-02-28", day(t, "2026-03-01").NextYearly(time.February, 29).String())
}

func TestMinTakesNoneAsNever(t *testing.T) {
	require.Equal(t, Day(3), Min(None, 3))
	require.Equal(t, Day(3), Min(3, None))
	require.Equal(t, Day(2), Min(3, 2))
	require.Equal(t, None, Min(None, None))
}
