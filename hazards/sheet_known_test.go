package hazards

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// knownHere knows the people and saws of the filled sheet, each person under two names.
func knownHere() Known {
	ids := map[string]string{"okafor": "p1", "luis": "p2", "rosa": "p3", "luis ferro": "p2"}
	one := func(list ...string) func(string) error {
		return func(typed string) error {
			if contains(list, typed) {
				return nil
			}
			return fmt.Errorf("%q is not known", typed)
		}
	}
	return Known{
		Person: func(typed string) (string, error) {
			if id, ok := ids[strings.ToLower(typed)]; ok {
				return id, nil
			}
			return "", fmt.Errorf("no worker %q; nearest: luis", typed)
		},
		Block: one("B7"), Saw: one("S11", "S12"), Group: func(_, typed string) error { return one("light-brush")(typed) },
	}
}

func TestASheetIsReadAgainstTheBook(t *testing.T) {
	good := filled(t)
	_, err := ParseSheetFor("day.yaml", []byte(good), knownHere())
	require.NoError(t, err)
	for old, c := range map[string][2]string{
		"worker: rosa":             {"worker: rosalie", `crew: worker: no worker "rosalie"; nearest: luis`},
		"\nblock: B7":              {"\nblock: B8", `block: "B8" is not known`},
		"by: okafor":               {"by: okaforr", `by: no worker "okaforr"`},
		"  first-aider: okafor":    {"  first-aider: nina", `first-aider: no worker "nina"`},
		"  wires: no":              {"  wires: don't know yet - nina by 07:30", `wires: no worker "nina"`},
		"  hung-up: no":            {"  hung-up: no - nina at 06:30", `hung-up: no worker "nina"`},
		"saw: S12, group: light-b": {"saw: S12, group: heavy-b", `crew: group: "heavy-brush" is not known`},
	} {
		bad := strings.Replace(good, old, c[0], 1)
		require.NotEqual(t, good, bad, old)
		_, err := ParseSheetFor("day.yaml", []byte(bad), knownHere())
		require.ErrorContains(t, err, c[1], old)
		require.Regexp(t, `^day\.yaml:\d+: `, err.Error())
	}
	// Every problem at once, whatever its kind.
	bad := strings.NewReplacer("worker: rosa", "worker: rosalie", "  wires: no", "  wires:", "id: S12", "id: S13").Replace(good)
	_, err = ParseSheetFor("day.yaml", []byte(bad), knownHere())
	for _, says := range []string{`no worker "rosalie"`, "wires is blank", `saws: id: "S13" is not known`, "saw S12 has no line under saws"} {
		require.ErrorContains(t, err, says)
	}
}

func TestNobodyStandsTwiceUnderTwoNames(t *testing.T) {
	good := filled(t)
	bad := replaceOnce(t, good, "worker: rosa", "worker: Luis Ferro")
	_, err := ParseSheetFor("day.yaml", []byte(bad), knownHere())
	require.ErrorContains(t, err, "crew: Luis Ferro is named twice, on line ")
	require.ErrorContains(t, err, " as luis")
	for _, typed := range []string{"LUIS", "' luis  '"} { // no book is needed for this
		_, err = ParseSheet("day.yaml", []byte(replaceOnce(t, good, "worker: rosa", "worker: "+typed)))
		require.ErrorContains(t, err, "is named twice")
	}
	bad = strings.NewReplacer("saw: S12", "saw: s11", "id: S12", "id: s11").Replace(good)
	_, err = ParseSheet("day.yaml", []byte(bad))
	require.ErrorContains(t, err, "crew: saw s11 is used by two people, on line ")
	require.ErrorContains(t, err, "saws: saw s11 stands twice, on line ")
}

// A sheet made otherwise than by reading one is held to the same.
func TestCheckRefusesOnePersonTwice(t *testing.T) {
	in := easyMorning(t)
	require.NoError(t, Check(in))
	in.Sheet.Crew[2].Worker = "p2" // luis by id
	in.Sheet.Crew[2].Saw = "S11"
	in.Sheet.Saws[1].ID = "S11"
	err := Check(in)
	for _, says := range []string{"crew: luis is named twice", "crew: saw S11 is used by two people", "saws: saw S11 stands twice"} {
		require.ErrorContains(t, err, says)
	}
}
