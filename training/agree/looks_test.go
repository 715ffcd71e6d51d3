package agree

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training/civil"
)

func look(worker, observer string, day civil.Day, met bool) Look {
	return Look{Worker: worker, Observer: observer, Day: day, Met: map[string]bool{"steers": met}}
}

func TestPairsNeedTwoObserversWithinTheDays(t *testing.T) {
	looks := []Look{
		look("ana", "luis", 30, true), look("ana", "okafor", 10, true), look("ana", "luis", 24, false), // 14 days: a pair
		look("ben", "luis", 10, true), look("ben", "okafor", 25, true), // 15 days: none
		look("jon", "luis", 10, true), look("jon", "luis", 11, true), // one observer: none
	}
	pairs := Pairs(looks, 14)
	require.Len(t, pairs, 1)
	require.Equal(t, "okafor", pairs[0].First.Observer)
	require.Equal(t, Table{YesNo: 1}, Count(pairs, "steers"))
	require.Equal(t, Table{}, Count(pairs, "elbows"), "not seen by both")
}

func TestEachLookStandsInOnePair(t *testing.T) {
	looks := []Look{look("ana", "luis", 1, true), look("ana", "okafor", 2, true), look("ana", "luis", 3, true), look("ana", "okafor", 4, false)}
	pairs := Pairs(looks, 14)
	require.Len(t, pairs, 2)
	tab := Count(pairs, "steers")
	require.Equal(t, Table{YesYes: 1, YesNo: 1}, tab)
	require.Equal(t, 2, tab.Cases())
	require.Equal(t, 1, tab.Same())
}
