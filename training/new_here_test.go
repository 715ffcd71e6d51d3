package training

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training/civil"
)

func TestNewHere(t *testing.T) {
	day := func(s string) civil.Day {
		d, err := civil.Parse(s)
		require.NoError(t, err)
		return d
	}
	for name, c := range map[string]struct {
		first, since, today string
		want                bool
	}{
		"first day":                         {"2026-05-04", "", "2026-05-04", true},
		"30th day":                          {"2026-05-04", "", "2026-06-02", true},
		"31st day":                          {"2026-05-04", "", "2026-06-03", false},
		"came after the rules, a season on": {"2026-05-04", "2026-05-01", "2026-09-01", true},
		"came on the day of the rules":      {"2026-05-01", "2026-05-01", "2026-09-01", true},
		"came long before the rules":        {"2022-04-01", "2026-05-01", "2026-05-02", false},
		"came shortly before the rules":     {"2026-04-20", "2026-05-01", "2026-05-02", true},
		"comes next week":                   {"2026-05-10", "2026-05-01", "2026-05-04", false},
		"first day not known":               {"", "2026-05-01", "2026-05-04", false},
	} {
		first, since := civil.None, civil.None
		if c.first != "" {
			first = day(c.first)
		}
		if c.since != "" {
			since = day(c.since)
		}
		require.Equal(t, c.want, NewHere(first, since, day(c.today)), name)
	}
}
