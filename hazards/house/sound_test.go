package house_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
)

func TestTheStarterIsSound(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	require.NoError(t, h.Sound())
}

func TestNumbersNobodyCanWorkByAreAllNamed(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	for i, n := range h.Numbers {
		switch n.Key {
		case house.CurrencyDays:
			h.Numbers[i].Value = "-5days"
		case house.LooksCritical:
			h.Numbers[i].Value = "0"
		case house.SignOffMonths:
			h.Numbers[i].Value = "1.5months"
		case house.StandOff:
			h.Numbers[i].Value = "0m"
		}
	}
	h, err = h.Ready()
	require.NoError(t, err)
	require.Equal(t, []string{
		"house rule looks-critical: 0 is too little to work by",
		"house rule stand-off: 0m is too little to work by",
		"house rule sign-off-months: 1.5months is not a whole number",
		"house rule currency-days: -5days is negative",
		"house rule look-days-critical: 2 is beyond looks-critical 0",
		"house rule unannounced-critical: 1 is beyond looks-critical 0",
	}, sortedLike(strings.Split(h.Sound().Error(), "\n")))
}

// sortedLike puts what is too little first, so that the order of the rules in the file does not matter.
func sortedLike(lines []string) []string {
	var out []string
	for _, part := range []string{"too little", "whole", "negative", "beyond"} {
		for _, l := range lines {
			if strings.Contains(l, part) {
				out = append(out, l)
			}
		}
	}
	return out
}

func TestMonthsAreARunOfMonths(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	first, last, err := h.Months(house.FireMonthsNorth)
	require.NoError(t, err)
	require.Equal(t, [2]time.Month{time.April, time.October}, [2]time.Month{first, last})
	for _, bad := range []string{"", "4", "0-10", "4-13", "april-october", "4-10-11", "-4"} {
		for i, n := range h.Numbers {
			if n.Key == house.FireMonthsSouth {
				h.Numbers[i].Value = bad
			}
		}
		require.ErrorContains(t, h.Sound(), `house rule fire-months-south: "`+bad+`" is no run of months; write the first and the last one, as 4-10`)
	}
}
