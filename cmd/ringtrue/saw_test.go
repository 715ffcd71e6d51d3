package main

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training/civil"
)

// ragged writes a book of saws with gaps: some lie in the store for months, some have no blade, no weekly upkeep, maker's hours.
func ragged(t *testing.T, saws int) *app {
	t.Helper()
	a := benchApp(filepath.Join(t.TempDir(), "ragged.db"))
	t.Cleanup(a.close)
	_, err := a.init(initOptions{company: "Ragged", owner: "Olive Test", jurisdiction: "bc", zone: "UTC", device: "laptop-1", at: "2024-01-05"})
	require.NoError(t, err)
	luck := rand.New(rand.NewPCG(5, 0))
	require.NoError(t, a.book.Batch(a.ctx, func() error {
		for i := range saws {
			card := sawOptions{Saw: upkeep.Saw{ID: fmt.Sprintf("S%02d", i), Spindle: "9000rpm"}, sizes: "225mm", at: "2024-01-06"}
			if i%4 == 0 {
				card.Service = "25h"
			}
			if _, _, _, err := a.addSaw(card); err != nil {
				return err
			}
			if err := raggedYears(a, luck, card.ID); err != nil {
				return err
			}
		}
		return nil
	}))
	return a
}

func raggedYears(a *app, luck *rand.Rand, saw string) error {
	owner, first := a.opening.Owner, ""
	often := 1 + luck.IntN(20)
	at := time.Date(2025, time.March, 3, 17, 0, 0, 0, time.UTC)
	for end := at.AddDate(1, luck.IntN(7), 0); at.Before(end); at = at.AddDate(0, 0, 1+luck.IntN(2*often)) {
		var es []ledger.Entry
		switch luck.IntN(8) {
		case 0:
			refs, err := a.append([]ledger.Entry{entry(store.KindBladeFitted, at, owner, "", "", upkeep.BladeFitted{Saw: saw, Blade: saw + "-" + at.Format("0102"), Rated: "13000rpm"})})
			if err != nil {
				return err
			}
			first = a.book.Name(refs[0])
			continue
		case 1:
			if first != "" {
				es = append(es, entry(store.KindSetting, at, owner, "", "", upkeep.Setting{Saw: saw, First: first}))
			}
		case 2:
			es = append(es, entry(store.KindDefect, at, owner, "", "", upkeep.Defect{Saw: saw, What: "pad", By: owner, Stops: luck.IntN(2) == 0}))
		case 3:
			es = append(es, entry(store.KindSawUse, at, owner, owner, "", upkeep.Use{Saw: saw, Hours: "6h"}))
		default:
			l := upkeep.Line{Saw: saw, First: first, Daily: luck.IntN(3) > 0, Weekly: luck.IntN(5) == 0, Left: []string{}, Refuels: luck.IntN(6), Filings: luck.IntN(3), Nut: luck.IntN(3), Hours: "5.5h"}
			if l.Daily && luck.IntN(4) == 0 {
				l.Left = []string{"grease"}
			}
			es = append(es, entry(store.KindUpkeep, at, owner, "", "", l))
		}
		if len(es) > 0 {
			if _, err := a.append(es); err != nil {
				return err
			}
		}
	}
	return nil
}

// All saws are read side by side, a few one by one; what they need is the same, and reading more months changes nothing.
func TestSawDueIsTheSameHoweverItIsRead(t *testing.T) {
	a := ragged(t, 3*manySaws)
	lines := 0
	for _, on := range []string{"2025-03-20", "2025-08-31", "2026-02-01", "2026-05-04"} {
		asked, err := a.asked(questionTimes{on: on})
		require.NoError(t, err)
		h, err := a.sawRules(asked)
		require.NoError(t, err)
		all, err := a.sawDue(nil, asked)
		require.NoError(t, err)
		bySaw := map[string][]dueLine{}
		for _, l := range all {
			bySaw[l.Saw] = append(bySaw[l.Saw], l)
			lines++
		}
		list, err := a.saws(asked)
		require.NoError(t, err)
		for _, s := range list {
			one, err := a.sawDue([]string{s.ID}, asked)
			require.NoError(t, err)
			require.Equal(t, bySaw[s.ID], one, "%s on %s", s.ID, on)
			facts, err := a.sawFacts(s.ID, asked, mostMonths)
			require.NoError(t, err)
			due, err := a.dueOf(facts, h, asked)
			require.NoError(t, err)
			upkeep.Sort(due)
			require.Equal(t, bySaw[s.ID], a.dueLines(due), "%s on %s, all months", s.ID, on)
		}
	}
	require.Greater(t, lines, 200)
}

// What one more entry about a saw does: a tag stops it, whatever else is known, at every moment from then on and at none before.
func TestTagStopsFromItsMomentOn(t *testing.T) {
	a := ragged(t, 3)
	at := time.Date(2025, time.July, 14, 10, 40, 0, 0, time.UTC)
	_, _, _, err := a.tagSaw(tagOptions{saw: "S01", reason: "odd sound", at: at.Format("2006-01-02T15:04")})
	require.NoError(t, err)
	for _, c := range []struct {
		on   time.Time
		down bool
	}{{at.Add(-time.Second), false}, {at, true}, {at.AddDate(1, 0, 0), true}} {
		s, err := a.sawOn("S01", a.knownAt(c.on))
		require.NoError(t, err)
		why, err := a.whyDown(s, a.short)
		require.NoError(t, err)
		tagged := false
		for _, w := range why {
			tagged = tagged || len(w) > 10 && w[:10] == "tagged out"
		}
		require.Equal(t, c.down, tagged, c.on)
	}
}

// Spacing and slope radius by hand; the harness ranges at their ends, included.
func TestCalcOfSaws(t *testing.T) {
	require.InDelta(t, 2, calcValue(t, "spacing --density 2500", "spacing_m"), 1e-9)
	require.InDelta(t, 2500, calcValue(t, "spacing --spacing 200cm", "stems_per_ha"), 1e-9)
	require.InDelta(t, 4.7443, calcValue(t, "plot --stems 12 --area 50m2 --slope 100%", "slope_radius_m"), 1e-4)
	require.InDelta(t, 4.7443, calcValue(t, "plot --stems 12 --area 50m2 --slope 45deg", "slope_radius_m"), 1e-4)
	require.InDelta(t, 3.99, calcValue(t, "plot --stems 12 --area 50m2 --slope 0%", "radius_m"), 0.005)
	for line, want := range map[string]map[string]any{
		"harness --hook 10cm --height 30cm --tilt -5deg --elbow 120deg --wrist 15deg --tank full":     {"hook": "in range", "height": "in range", "elbow": "in range", "tilt": "in range", "wrist": "in range", "outside": 0.0},
		"harness --hook 150mm --height 0.4m --tilt 5deg --elbow 130deg --tank full":                   {"hook": "in range", "height": "in range", "elbow": "in range", "tilt": "in range", "outside": 0.0},
		"harness --hook 9.9cm --height 40.1cm --tilt 5.1deg --elbow 119deg --wrist 16deg --tank full": {"hook": "too low", "height": "too high", "elbow": "too low", "tilt": "too high", "wrist": "too high", "outside": 5.0},
	} {
		require.Equal(t, want, calcJSON(t, exitDone, line).Results, line)
	}
	half := calcJSON(t, exitRefused, "harness --hook 12cm --height 35cm --tilt 2deg --tank half")
	require.Empty(t, half.Results)
	require.Contains(t, half.Notes[0], "full tank")
	require.Contains(t, calcJSON(t, exitDone, "plot --stems 12,9 --area 50m2 --places beforehand").Notes, "the places of the plots were chosen beforehand")
	for _, line := range []string{"spacing", "spacing --spacing 2m --density 2500", "spacing --spacing 0m", "spacing --spacing 2", "plot --stems 12 --area 50m2 --slope -5%",
		"plot --stems 12 --area 50m2 --places later", "harness --hook 12 --height 35cm --tilt 2deg --tank full", "harness --tank full"} {
		code, _, _ := runCalc(wordsOf(line, '\'')...)
		require.Equal(t, exitUsage, code, line)
	}
}

// A book whose house rules are from before there were numbers for saws: stops count all the same, and what needs a number says
// what to do.
func TestOldHouseRulesStillStopSaws(t *testing.T) {
	a := ragged(t, 1)
	h, err := a.house(a.knownNow(1 << 20))
	require.NoError(t, err)
	old := h
	old.Edition, old.Numbers = "older", nil
	for _, n := range h.Numbers {
		if !slices.Contains(slices.Concat(sawKeys, planKeys, kitKeys), n.Key) {
			old.Numbers = append(old.Numbers, n)
		}
	}
	_, err = a.append([]ledger.Entry{{Kind: store.KindHouse, Happened: a.now(), By: a.opening.Owner, Data: old, Catalogue: true}})
	require.NoError(t, err)
	asked, err := a.asked(questionTimes{})
	require.NoError(t, err)
	_, err = a.sawDue(nil, asked)
	require.ErrorContains(t, err, "edition older of the house rules does not have: upkeep-daily, upkeep-weekly")
	_, err = a.planDayOf(planDayOptions{hours: "9h"})
	require.ErrorContains(t, err, "does not have: plan-burn")
	_, _, _, err = a.tagSaw(tagOptions{saw: "S00", reason: "odd sound"})
	require.NoError(t, err)
	sheet := hazards.Sheet{Saws: []hazards.SawLine{{ID: "S00"}}}
	known, err := a.knownSaws(sheet, a.knownNow(civil.Of(a.now(), a.book.Zone())))
	require.NoError(t, err)
	require.Contains(t, known[0].Tagged, "odd sound")
	require.Empty(t, known[0].Overdue)
	std, err := a.standards(asked)
	require.NoError(t, err)
	todo, err := a.waitingUpkeep(std, asked)
	require.NoError(t, err)
	require.Empty(t, todo)
	todo, err = a.waitingTags(std, asked)
	require.NoError(t, err)
	require.Len(t, todo, 1, "a tag counts whatever the house rules tell")
	require.Contains(t, todo[0].What, "odd sound")
}
