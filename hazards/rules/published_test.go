package rules

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// published reads a table of testdata/published without its # header lines and its line of column names.
func published(t *testing.T, name string, columns int) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.FieldsPerRecord = columns
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1, "no rows in %s", name)
	return rows[1:]
}

// codes gives our code for the table's name of a place.
var codes = map[string]string{
	"US federal": "us", "US Forest Service": "us-fs", "US Washington": "us-wa", "US Oregon": "us-or", "US Montana": "us-mt",
	"Canada BC": "bc", "Canada Quebec": "qc", "Canada New Brunswick": "nb", "Canada Newfoundland and Labrador": "nl",
	"Canada Prince Edward Island": "pe", "Canada Yukon": "yt", "Canada Ontario": "on", "Canada Alberta": "ab",
	"Canada Nova Scotia (with NB, PEI, NL)": "ns", "Canada federal public service": "ca", "EU": "eu", "UK": "uk",
	"Sweden": "se", "New Zealand": "nz", "Australia": "au", "ILO": "ilo", "Finland": "fi",
}

// movedTopic names rows that the table files under another topic than we do, with ours: a shop for servicing saws is no
// training.
var movedTopic = map[string]string{"Canada Quebec s. 43": "kickback"}

// Every row of the table has a rule of its own, with the same instrument, clause, reference and mark, and the same topic
// but for those moved.
func TestEveryRowOfTheJurisdictionsTableIsCarriedOver(t *testing.T) {
	e := starter(t)
	taken := map[string]bool{}
	for _, row := range published(t, "jurisdictions.csv", 7) {
		place, instrument, clause, topic, reference, mark := row[0], row[1], row[2], row[3], row[5], row[6]
		if clause == "n/a" {
			clause = ""
		}
		j, ok := e.Find(codes[place])
		require.True(t, ok, "no code for %q", place)
		if ours, moved := movedTopic[place+" "+clause]; moved {
			topic = ours
		}
		i := slices.IndexFunc(j.Rules, func(r Rule) bool {
			return r.Instrument == instrument && r.Clause == clause && r.Topic == topic
		})
		require.GreaterOrEqual(t, i, 0, "no rule for %q", row)
		r := j.Rules[i]
		require.Equal(t, mark, r.Read, r.ID)
		require.Equal(t, reference, r.Reference, r.ID)
		require.False(t, taken[r.ID], "%s stands for two rows", r.ID)
		taken[r.ID] = true
	}
}

// Where the table of training topics has the same clause as a rule, both carry the same mark; the six elements of
// (i)(3) are all there.
func TestTrainingClausesCarryTheMarkOfTheirTable(t *testing.T) {
	us, _ := starter(t).Find("us")
	same, elements := 0, 0
	for _, row := range published(t, "osha_266_training_topics.csv", 4) {
		clause := strings.TrimPrefix(row[0], "1910.266")
		i := slices.IndexFunc(us.Rules, func(r Rule) bool {
			return r.Instrument == "29 CFR 1910.266" && r.Clause == clause
		})
		if i < 0 {
			continue
		}
		same++
		require.Equal(t, row[3], us.Rules[i].Read, us.Rules[i].ID)
		if row[1] == "topic" {
			elements++
		}
	}
	require.Equal(t, 6, elements)
	require.Greater(t, same, elements)
}

// The twenty duties drawn and read again: each is still in the list, and tells what it told when it was compared, unless it was mended
// after it. Whoever changes one of them reads the text again and writes a new row.
func TestDutiesReadAgainSayWhatWasCompared(t *testing.T) {
	e := starter(t)
	found := map[string]int{}
	rows := published(t, "duties_reread.csv", 6)
	for _, row := range rows {
		r, _, ok := e.Rule(row[0])
		require.True(t, ok, row[0])
		require.NotEmpty(t, row[2], row[0])
		require.NotEmpty(t, row[3], row[0])
		found[row[5]]++
		switch row[5] {
		case "agrees", "not reached":
			require.Equal(t, row[1], r.Duty, row[0])
		case "mended":
			require.NotEqual(t, row[1], r.Duty, row[0])
		default:
			t.Fatalf("%s: what was found, %q, is not a word of this table", row[0], row[5])
		}
	}
	require.Len(t, rows, 20)
	require.GreaterOrEqual(t, found["agrees"]+found["mended"], 15, "most could be compared")
}
