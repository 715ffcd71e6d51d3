package spacing

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
)

// Two tree lengths where a clause says so (29 CFR 1910.266(d)(6)(ii), WAC 296-54-513(2), B.C. Reg. 296/97 26.1; all read), however
// loose the house rule is.
func TestClausesAreNeverLoosened(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	for i := range h.Numbers {
		if h.Numbers[i].Key == house.TreeLengths {
			h.Numbers[i].Value = "1"
		}
	}
	loose, err := h.Ready()
	require.NoError(t, err)
	for _, places := range [][]string{{"us-wa", "us"}, {"us-or", "us"}, {"bc", "ca"}} {
		n := Needed(15, loose, Clauses(places)...)
		require.InDelta(t, 30, n.Metres, 1e-9, places)
		require.Contains(t, n.Why, "read")
	}
	require.InDelta(t, 20, Needed(15, loose, Clauses([]string{"nz"})...).Metres, 1e-9, "the stand-off")
	require.Empty(t, Clauses([]string{"qc", "ca"}), "the 45 m of Quebec are between fellers")
}
