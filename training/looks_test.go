package training_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
)

func everybody(skills []string, who ...string) map[string][]string {
	m := map[string][]string{}
	for _, s := range skills {
		m[s] = who
	}
	return m
}

func TestPlanLooks(t *testing.T) {
	four := []string{"1.2", "1.3", "3.1", "3.3"}
	plan := training.PlanLooks([]training.LookNeed{
		{Worker: "learner", Skills: four, Observers: everybody(four, "luis", "okafor")},
		{Worker: "ana", Saws: true, Skills: four, Observers: everybody(four, "luis", "okafor")},
	}, training.MostInLook)
	require.Equal(t, []training.PlannedLook{
		{Worker: "ana", By: "luis", Skills: four, Minutes: 20},
		{Worker: "learner", By: "okafor", Skills: four, Minutes: 20},
	}, plan, "who saws first; the second look goes to whom has none yet")

	plan = training.PlanLooks([]training.LookNeed{{Worker: "ana", Skills: four, Observers: everybody(four, "luis")}}, 3)
	require.Equal(t, []training.PlannedLook{{Worker: "ana", By: "luis", Skills: four[:3], Minutes: 15, Later: 1}}, plan)

	// What earlier looks did not show is named, for the skills of this look only.
	plan = training.PlanLooks([]training.LookNeed{{Worker: "ana", Skills: four, Observers: everybody(four, "luis"),
		Unseen: map[string][]string{"1.3": {"stop", "sector"}, "3.3": {"steers"}}}}, 3)
	require.Equal(t, []string{"1.3 stop, sector"}, plan[0].Watch)

	nobody := training.PlanLooks([]training.LookNeed{{Worker: "luis", Skills: four}}, 0)
	require.Equal(t, []training.PlannedLook{{Worker: "luis", Skills: four}}, nobody)
}

// Without a limit every skill of everybody is in exactly one look, by somebody who may see it, or by nobody where nobody may.
func TestPlanLooksLeavesNothingOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var needs []training.LookNeed
		for _, w := range []string{"ana", "ben", "cy"} {
			n := training.LookNeed{Worker: w, Saws: rapid.Bool().Draw(t, "saws"), Observers: map[string][]string{}}
			n.Skills = rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"1.1", "1.2", "2.1", "3.3"}), 0, 4, rapid.ID[string]).Draw(t, "skills")
			for _, s := range n.Skills {
				n.Observers[s] = rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"luis", "okafor"}), 0, 2, rapid.ID[string]).Draw(t, "observers")
			}
			needs = append(needs, n)
		}
		plan := training.PlanLooks(needs, 0)
		for _, n := range needs {
			var got []string
			for _, l := range plan {
				if l.Worker != n.Worker {
					continue
				}
				got = append(got, l.Skills...)
				for _, s := range l.Skills {
					if may := n.Observers[s]; (l.By == "") != (len(may) == 0) || l.By != "" && !slices.Contains(may, l.By) {
						t.Fatalf("%s of %s by %q, may %v", s, l.Worker, l.By, may)
					}
				}
			}
			slices.Sort(got)
			want := slices.Sorted(slices.Values(n.Skills))
			if !slices.Equal(got, want) {
				t.Fatalf("%s: %v, not %v", n.Worker, got, want)
			}
		}
	})
}
