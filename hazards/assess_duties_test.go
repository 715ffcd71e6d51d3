package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/rules"
)

// dutiesOf are the duties of a place in the starter edition.
func dutiesOf(t *testing.T, place string) []rules.Duty {
	t.Helper()
	e, err := rules.Starter()
	require.NoError(t, err)
	return e.Duties(place)
}

// The ten topics of B.C. Reg. 296/97, 3.23(2)(a)-(j), by their names in the list of what an orientation may cover.
var tenTopics = []string{"supervisor", "rights", "rules", "hazards", "alone", "violence", "ppe", "first aid", "emergency", "task"}

// withHeard is the clean morning with a recruit who is new, young, both or neither, and heard these topics.
func withHeard(t *testing.T, place string, isNew, young bool, heard ...string) Input {
	in := cleanMorning(t)
	in.withRecruit()
	in.Duties = dutiesOf(t, place)
	p := &in.People[len(in.People)-1]
	p.New, p.Young, p.Heard = isNew, young, heard
	return in
}

func TestWhoIsNewOrYoungHearsFirstWhatThePlaceAsks(t *testing.T) {
	few := []string{"supervisor", "hazards", "wires", "meeting point", "radio call"}
	for name, c := range map[string]struct {
		in    Input
		asked bool
	}{
		"new, all ten":                    {withHeard(t, "bc", true, false, tenTopics...), false},
		"new, nine":                       {withHeard(t, "bc", true, false, tenTopics[1:]...), true},
		"new, few":                        {withHeard(t, "bc", true, false, few...), true},
		"new, nothing":                    {withHeard(t, "bc", true, false), true},
		"young, few":                      {withHeard(t, "bc", false, true, few...), true},
		"young, all ten":                  {withHeard(t, "bc", false, true, tenTopics...), false},
		"neither new nor young":           {withHeard(t, "bc", false, false), false},
		"a place that asks no such thing": {withHeard(t, "us", true, true), false},
		"an edition from before":          {withHeard(t, "nowhere", true, true), false},
	} {
		t.Run(name, func(t *testing.T) {
			a := Assess(c.in)
			found := findings(a, "orientation-topics")
			if !c.asked {
				require.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			require.Equal(t, NeedsControl, found[0].Effect, "the book knows topics only by the words typed")
			require.Contains(t, found[0].What, "OHS Regulation (B.C. Reg. 296/97) 3.23(2)(a)-(j), read in a restatement")
			require.Equal(t, GoWithControls, a.Answer)
			require.Empty(t, a.May[len(a.May)-1].Stopped)
		})
	}
}

// Each topic left out is named in words; what was only remembered (3.23(2)(k)-(m)) stops nobody.
func TestWhatIsLeftOutIsNamed(t *testing.T) {
	for i, topic := range tenTopics {
		heard := append(append([]string{}, tenTopics[:i]...), tenTopics[i+1:]...)
		lacks, cite := LeftOut(Worker{New: true, Heard: heard}, dutiesOf(t, "bc"))
		require.Len(t, lacks, 1, topic)
		require.Contains(t, cite, "3.23(2)(a)-(j)")
		require.Equal(t, rules.Covers([]string{topic}), []string{idOf(lacks[0])})
	}
	lacks, _ := LeftOut(Worker{New: true, Heard: tenTopics}, dutiesOf(t, "bc"))
	require.Nil(t, lacks)
	for _, d := range dutiesOf(t, "bc") {
		require.False(t, AsksFirst(d) && d.Rule == "bc-ohsr-3.23-2-k-m", "from memory")
	}
}

// idOf finds what an orientation may cover by its words.
func idOf(words string) string {
	for _, c := range rules.Covering {
		if c.Words == words {
			return c.ID
		}
	}
	return ""
}

// One alone: the place's own clause stands with the finding, what is missing is named, and with all of it the work goes on under a control.
func TestOneAloneIsHeldAgainstTheClauseOfThePlace(t *testing.T) {
	for place, clause := range map[string]string{"bc": "4.20.1-4.21 (read in a restatement)", "qc": "s. 322", "fi": "s. 4"} {
		in := cleanMorning(t)
		in.alone()
		in.Places, in.Duties = []string{place}, dutiesOf(t, place)
		f := oneFinding(t, Assess(in), "alone")
		require.Equal(t, StopSite, f.Effect, place)
		require.Contains(t, f.House, clause, place)
		require.Contains(t, f.What, "a contact outside the block", place)
		require.Contains(t, AloneWords(in.Sheet, in.Duties), "calls are not arranged", place)
		in.callsOutside()
		require.Contains(t, AloneWords(in.Sheet, in.Duties), "calls every 30min to the yard, radio 4 and when work ends", place)
		require.Contains(t, AloneWords(in.Sheet, in.Duties), clause, place)
		require.Equal(t, NeedsControl, oneFinding(t, Assess(in), "alone").Effect, place)
		in.say(map[string]string{CheckIn: "no"})
		f = oneFinding(t, Assess(in), "alone")
		require.Equal(t, StopSite, f.Effect, place)
		require.Contains(t, f.What, "how often the calls are", place)
	}
}

// Where orientation is due anyway there is one line about it, with what the place asks among its reasons.
func TestOrientationThatIsDueIsOneFinding(t *testing.T) {
	in := withHeard(t, "bc", true, false)
	in.People[len(in.People)-1].Orient = []string{"no orientation yet"}
	a := Assess(in)
	require.Empty(t, findings(a, "orientation-topics"))
	f := oneFinding(t, a, "orientation")
	require.Contains(t, f.Reasons[0], "3.23(2)(a)-(j), read in a restatement, asks for: the supervisor and how to reach them; ")
	in.Duties = nil
	require.Empty(t, oneFinding(t, Assess(in), "orientation").Reasons)
}
