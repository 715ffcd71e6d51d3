package training

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestWhoMayStrikeWhat(t *testing.T) {
	named := Crossing{By: "luis", Named: true, Reason: true, Concerns: []string{"ana"}}
	with := func(change func(*Crossing)) Crossing { c := named; change(&c); return c }
	for name, row := range map[string]struct {
		c    Crossing
		want []Refusal
	}{
		"anybody strikes a fact":                  {Crossing{By: "ana", Reason: true, Concerns: []string{"ana"}}, nil},
		"nothing is struck without a reason":      {Crossing{By: "ana"}, []Refusal{NoReason}},
		"a permit by who is named":                {with(func(c *Crossing) { c.Weight = OfPermit }), nil},
		"a permit by the owner":                   {with(func(c *Crossing) { c.Weight, c.Named, c.Owner = OfPermit, false, true }), nil},
		"a permit by a recruit":                   {with(func(c *Crossing) { c.Weight, c.Named = OfPermit, false }), []Refusal{NotNamed}},
		"a stop needs two":                        {with(func(c *Crossing) { c.Weight = OfStop }), []Refusal{NoSecond}},
		"a stop by two":                           {with(func(c *Crossing) { c.Weight, c.Second = OfStop, "okafor" }), nil},
		"the second is another":                   {with(func(c *Crossing) { c.Weight, c.Second = OfStop, "luis" }), []Refusal{SecondSame}},
		"the second is not the one stopped":       {with(func(c *Crossing) { c.Weight, c.Second = OfStop, "ana" }), []Refusal{SecondOwn}},
		"nobody strikes their own stop":           {with(func(c *Crossing) { c.Weight, c.By, c.Named, c.Second = OfStop, "ana", false, "ben" }), []Refusal{NotNamed, OwnEntry}},
		"nor does the owner":                      {with(func(c *Crossing) { c.Weight, c.By, c.Named, c.Owner, c.Second = OfStop, "ana", false, true, "ben" }), []Refusal{OwnEntry}},
		"somebody outside the book may be second": {with(func(c *Crossing) { c.Weight, c.Second = OfStop, "the client's forester" }), nil},
		"everything wrong is said at once":        {Crossing{Weight: OfStop, By: "ana", Concerns: []string{"ana"}}, []Refusal{NoReason, NotNamed, OwnEntry, NoSecond}},
	} {
		require.Equal(t, row.want, row.c.Refusals(), name)
	}
}

// Whoever is stopped by an entry never strikes it, alone or as the second person, whatever else they hold.
func TestNobodyStrikesTheirOwnStop(t *testing.T) {
	people := []string{"ana", "ben", "luis"}
	rapid.Check(t, func(t *rapid.T) {
		c := Crossing{Weight: OfStop, By: rapid.SampledFrom(people).Draw(t, "by"), Owner: rapid.Bool().Draw(t, "owner"), Named: rapid.Bool().Draw(t, "named"),
			Reason: rapid.Bool().Draw(t, "reason"), Second: rapid.SampledFrom(append(people, "")).Draw(t, "second"), Concerns: []string{"ana"}}
		if c.By == "ana" || c.Second == "ana" || c.Second == c.By || c.Second == "" || (!c.Owner && !c.Named) || !c.Reason {
			require.NotEmpty(t, c.Refusals())
			return
		}
		require.Empty(t, c.Refusals())
	})
}
