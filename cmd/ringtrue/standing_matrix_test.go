package main

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/catalogue"
	"example.org/ringtrue/training/civil"
)

// matrixExample is a crew of so many with all skills of the starter curriculum: the second is stopped on 5.3, the third
// has a sign-off of 3.3 that ends on 30 July; everything else is held.
func matrixExample(t *testing.T, crew int) *crewMatrix {
	t.Helper()
	c, err := catalogue.Starter()
	require.NoError(t, err)
	people := &people{byID: map[string]store.Person{}}
	var rows []standingRow
	for i := range crew {
		id := fmt.Sprintf("p%02d", i)
		people.byID[id] = store.Person{ID: id, Handle: fmt.Sprintf("worker%d", i), Name: "Some Body"}
		for _, m := range c.Modules {
			for _, s := range m.Skills {
				r := standingRow{Worker: id, Skill: s.ID, Standing: string(training.SignedOff)}
				switch {
				case i == 1 && s.ID == "5.3":
					r.Standing = string(training.Restricted)
				case i == 2 && s.ID == "3.3":
					end := "2026-07-30"
					r.Standing, r.Until = string(training.Due), &end
				}
				rows = append(rows, r)
			}
		}
	}
	return matrixOf(rows, standards{Curriculum: c}, people)
}

func TestStandingMatrixFitsTheScreen(t *testing.T) {
	for _, columns := range []int{40, 60, 80, 200, 1000} {
		for _, crew := range []int{1, 3, 14, 60} {
			lines := matrixExample(t, crew).lines(civil.Date(2026, 7, 14), columns, 24)
			require.Greater(t, len(lines), 1)
			require.LessOrEqual(t, len(lines)+besideMatrix, 24, "%d columns, %d people:\n%s", columns, crew, strings.Join(lines, "\n"))
			for _, l := range lines {
				require.LessOrEqual(t, len([]rune(l)), columns, l)
			}
		}
	}
}

// The answer comes first, stops before all else, and what is hidden is said.
func TestStandingMatrixSaysWhatItHid(t *testing.T) {
	lines := matrixExample(t, 3).lines(civil.Date(2026, 7, 14), 1000, 24)
	require.Equal(t, "STOPPED: worker1 5.3", lines[1])
	require.Equal(t, "ends soon: worker2 3.3 on 2026-07-30 (in 16 days)", lines[2])
	require.NotContains(t, strings.Join(lines, "\n"), "hidden")

	text := strings.Join(matrixExample(t, 60).lines(civil.Date(2026, 7, 14), 50, 24), "\n")
	require.Regexp(t, `skills are folded: ringtrue\s+standing --module M1`, text)
	require.Regexp(t, `hidden, not wide enough: .*M12`, text)
	shown := len(regexp.MustCompile(`(?m)^worker\d`).FindAllString(text, -1))
	require.Contains(t, text, fmt.Sprintf("hidden, not high enough: %d people", 60-shown))
	require.Regexp(t, `(?m)^worker1 .*STOP`, text)
}

func TestAwayCountsDays(t *testing.T) {
	for day, want := range map[string]string{"2026-07-14": " (today)", "2026-07-15": " (tomorrow)", "2026-07-13": " (yesterday)", "2026-07-04": " (10 days ago)",
		"2026-08-01": " (in 18 days)", "never": ""} {
		require.Equal(t, want, away(day, civil.Date(2026, 7, 14)), day)
	}
}
