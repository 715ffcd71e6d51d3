package ledger

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawRows gives up to 40 rows of which some are missing, changed, out of place, unsigned or set back in time.
func drawRows(t *rapid.T) []Row {
	var rows []Row
	seq := int64(1)
	for range rapid.IntRange(0, 40).Draw(t, "rows") {
		seq += rapid.SampledFrom([]int64{1, 1, 1, 1, 1, 2, 5, 3 * maxNamed}).Draw(t, "step")
		e := sample(seq)
		e.Recorded = e.Recorded.Add(time.Duration(rapid.IntRange(-2, 2).Draw(t, "minutes")) * time.Minute)
		e.Key = rapid.SampledFrom([]string{"", "", "", "okafor"}).Draw(t, "key")
		r, err := Encode(e)
		require.NoError(t, err)
		switch rapid.IntRange(0, 9).Draw(t, "damage") {
		case 0:
			r.Leaf[3] ^= 1
		case 1:
			r.Seq++
			seq++
		}
		rows = append(rows, r)
	}
	return rows
}

// However a ledger is split, the parts joined find the same as the whole.
func TestPartsJoinedFindTheSameAsTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := drawRows(t)
		whole := NewChain("north/truck-1", 1)
		for _, r := range rows {
			whole.Add(r)
		}
		joined := NewChain("north/truck-1", 1)
		cut := rapid.IntRange(0, len(rows)).Draw(t, "cut")
		for _, r := range rows[:cut] {
			joined.Add(r)
		}
		rest := NewChain("north/truck-1", 0)
		for _, r := range rows[cut:] {
			rest.Add(r)
		}
		joined.Join(rest)
		require.Equal(t, whole.Findings, joined.Findings)
		require.Equal(t, whole.Head(), joined.Head())
	})
}

func TestALongGapIsNamedAsAWhole(t *testing.T) {
	for _, end := range []int64{maxNamed + 2, maxNamed + 3, 1 << 40, math.MaxInt64} {
		c := NewChain("north/truck-1", 1)
		c.Add(encode(t, sample(1)))
		last := encode(t, sample(1))
		last.Seq = end
		c.Add(last)
		var got []string
		for _, f := range c.Findings {
			got = append(got, fmt.Sprint(f.Seq, " ", f.What))
		}
		require.Equal(t, "2 the entry is missing", got[0])
		require.Equal(t, fmt.Sprint(maxNamed+1, " the entry is missing"), got[maxNamed-1])
		want := []string{fmt.Sprint(end, " its bytes say it is north/truck-1#1")}
		if end > maxNamed+2 {
			want = slices.Insert(want, 0, fmt.Sprintf("%d this entry and all after it to %d are missing", maxNamed+2, end-1))
		}
		require.Equal(t, want, got[maxNamed:])
	}
}

func TestUnreadableEntriesAreNamedAndCountAsThere(t *testing.T) {
	c := NewChain("north/truck-1", 1)
	c.Add(encode(t, sample(1)))
	c.Unreadable(2)
	c.Unreadable(3)
	c.Add(encode(t, sample(5)))
	var got []string
	for _, f := range c.Findings {
		got = append(got, fmt.Sprint(f.Seq, " ", f.What))
	}
	require.Equal(t, []string{"2 its row in the file cannot be read", "3 its row in the file cannot be read", "4 the entry is missing"}, got)
	require.EqualValues(t, 2, c.Head().Size)
}

func FuzzParseRef(f *testing.F) {
	for _, s := range []string{"north/truck-1#12", "#1", "a#01", "a#+1", "a#1#2", "a#9223372036854775808"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		origin, seq, err := ParseRef(s)
		if err == nil && Ref(origin, seq) != s {
			t.Fatalf("%q was read as %q", s, Ref(origin, seq))
		}
	})
}
