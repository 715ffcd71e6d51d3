package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestRunsNameNeighboursForShort(t *testing.T) {
	order := []string{"1.1", "1.2", "1.3", "2.1", "2.2"}
	for want, list := range map[string][]string{
		"all 5": order, "1.1 to 2.1": order[:4], "1.1, 1.2": order[:2], "1.1, 1.3 to 2.2": {"1.1", "1.3", "2.1", "2.2"}, "1.1, 1.3, 2.2": {"1.1", "1.3", "2.2"}, "": nil,
	} {
		require.Equal(t, want, runs(list, order))
	}
	require.Equal(t, "1.1", runs(order[:1], order[:1]))
}

func TestFoldingJoinsWhatSaysTheSameAndKeepsTheRest(t *testing.T) {
	at := func(day int) time.Time { return time.Date(2026, 5, day, 12, 0, 0, 0, time.UTC) }
	row := func(step, of, words, entry string, day int) chainRow {
		return chainRow{step: step, what: "was taught", of: of, words: words, happened: at(day), entry: entry}
	}
	got := fold([]chainRow{
		row(stepSkills, "1.1", "x", "9", 4), row(stepTraining, "M1", "in en", "1", 4), row(stepTraining, "M2", "in en", "2", 4), row(stepTraining, "M3", "in es", "3", 4),
		row(stepTraining, "M4", "in en", "4", 5), row(stepTraining, "", "oriented", "5", 4), row(stepTraining, "", "oriented", "6", 4),
	})
	want := []chainRow{row(stepTraining, "M1, M2", "in en", "1, 2", 4), row(stepTraining, "M3", "in es", "3", 4), row(stepTraining, "M4", "in en", "4", 5),
		row(stepTraining, "", "oriented", "5", 4), row(stepTraining, "", "oriented", "6", 4), row(stepSkills, "1.1", "x", "9", 4)}
	require.Equal(t, want, got)
}

func TestALookIsToldByWhatWasNotMetAndWhatWasMeasured(t *testing.T) {
	got := lookWords([]byte(`{"announced":false,"block":"B7","marks":[{"criterion":"idle","seen":"met","value":"0rpm"},{"criterion":"stop","seen":"met","value":""},` +
		`{"criterion":"ring","seen":"missed","value":""},{"criterion":"often","seen":"not seen","value":""}],"note":"slow","outcome":"critical missed"}`))
	require.Equal(t, "look critical missed, unannounced, block B7; MISSED: ring; not seen: often; idle 0rpm; slow", got)
}
