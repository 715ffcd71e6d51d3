package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSawsOf(t *testing.T) {
	for words, want := range map[string]string{
		"saws off until the rock has dried": SawsOff, "Saws are off": SawsOff, "all saws off": SawsOff, "nobody saws until he is back": SawsOff,
		"no saw starts before 14:00": SawsOff, "stop work": SawsOff, "everybody to the vehicles": SawsOff, "hold until the office calls": SawsOff,
		"no more cutting today": SawsOff, "scies arrêtées jusqu'à midi": SawsOff, "sierras apagadas hasta que seque": SawsOff, "nadie sierra": SawsOff,
		"nobody starts again before 14:00": SawsOff,
		"start again":                      SawsOn, "saws on": SawsOn, "saws run again below the strip": SawsOn, "okafor lets work resume": SawsOn, "work goes on along the strip": SawsOn,
		"reprise du travail": SawsOn, "se reanuda": SawsOn,
		"start again when it is dry": "", "work resumes once luis is back": "", "start again, not on strip 3": "", "only the low stems, everybody on the lee side": "",
		"she carries fuel": "", "S1 stays down": "", "the rest of B8 while it is dry": "", "the line is moved": "", "": "",
		"the offset blade goes to luis": "", "turn off the radio": "", "ana has no saw today, she flags": "", "no saws anywhere": SawsOff, "hold; wait for luis": SawsOff, "no saw for ana": "", "saw stays down": "", "hold the line two stems away": "",
	} {
		require.Equal(t, want, SawsOf(words), "%q", words)
	}
}

func TestWordOf(t *testing.T) {
	off := Decision{At: "11:00", By: "p1", What: "rain", Words: "saws off until the rock has dried", Saws: SawsOff}
	other := Decision{At: "11:30", By: "p1", What: "arrived", Words: "she carries fuel"}
	on := Decision{At: "12:40", By: "p2", What: "resumed", Words: "start again", Saws: SawsOn}
	for _, c := range []struct {
		name     string
		computed Verdict
		made     []Decision
		want     Verdict
		stands   Decision
	}{
		{"nothing decided", Go, nil, Go, Decision{}},
		{"the decision is stricter", GoWithControls, []Decision{off}, Hold, off},
		{"what was computed is stricter", Hold, []Decision{on}, Hold, on},
		{"another decision does not start saws", Go, []Decision{off, other}, Hold, off},
		{"saws run again", GoWithControls, []Decision{off, other, on}, GoWithControls, on},
		{"off once more", Go, []Decision{off, on, off}, Hold, off},
		{"the newest stands", GoWithControls, []Decision{on, other}, GoWithControls, other},
	} {
		w := WordOf(Assessment{Answer: c.computed, At: "13:00"}, c.made)
		require.Equal(t, Word{c.want, c.stands, c.computed, "13:00"}, w, c.name)
		require.Equal(t, c.want != c.computed, w.ByDecision(), c.name)
		require.Equal(t, len(c.made) > 0, w.Changed(), c.name)
	}
}

var strictness = map[Verdict]int{Go: 0, GoWithControls: 1, Hold: 2}

// Whatever was decided, the word is never milder than what was computed, and saws that were taken off last are never said to run.
func TestTheWordIsNeverMilder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		computed := rapid.SampledFrom([]Verdict{Go, GoWithControls, Hold}).Draw(t, "computed")
		var made []Decision
		running := true
		for _, saws := range rapid.SliceOfN(rapid.SampledFrom([]string{SawsOff, SawsOn, ""}), 0, 6).Draw(t, "saws") {
			made = append(made, Decision{At: "11:00", By: "p1", What: "other", Words: "x", Saws: saws})
			if saws != "" {
				running = saws == SawsOn
			}
		}
		w := WordOf(Assessment{Answer: computed}, made)
		require.GreaterOrEqual(t, strictness[w.Answer], strictness[computed])
		if !running {
			require.Equal(t, Hold, w.Answer)
			require.Equal(t, SawsOff, w.Decided.Saws)
		} else {
			require.Equal(t, computed, w.Answer)
		}
	})
}
