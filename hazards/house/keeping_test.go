package house

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// with is an edition with some values changed, as somebody adopted it.
func with(t *testing.T, h House, values map[string]string) House {
	t.Helper()
	out := h.copied()
	for i, n := range out.Numbers {
		if v, ok := values[n.Key]; ok {
			out.Numbers[i].Value, out.Numbers[i].Source = v, "company choice"
		}
	}
	out, err := out.Ready()
	require.NoError(t, err)
	return out
}

// A company that takes the program's newer edition keeps what it has chosen itself, and only that.
func TestKeepingWhatTheCompanyChose(t *testing.T) {
	newer, err := Starter()
	require.NoError(t, err)
	first := with(t, newer, map[string]string{StandOff: "15m", AwayDays: "60days"}) // as an older program offered it
	now := with(t, first, map[string]string{StandOff: "25m", ThunderWait: "45min"})
	got, kept := newer.Keeping(first, now)
	require.ElementsMatch(t, []string{StandOff, ThunderWait}, kept)
	require.Equal(t, "25m", got.Value(StandOff))
	require.InDelta(t, 25, got.SI(StandOff), 0)
	require.InDelta(t, 45*60, got.SI(ThunderWait), 0)
	require.Equal(t, newer.Value(AwayDays), got.Value(AwayDays), "what the company never changed is the program's")
	require.Equal(t, "20m", newer.Value(StandOff), "the program's own edition stays as it was")
	_, kept = newer.Keeping(first, first)
	require.Empty(t, kept)
}
