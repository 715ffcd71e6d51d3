package main

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
)

// What the book of BenchmarkSawDue holds.
const (
	benchSaws    = 200
	benchSeasons = 10
	benchDays    = 100 // of use in a season
)

// sawBook writes a book of 200 saws with ten seasons behind them: for each day of use who had the saw and one line of upkeep,
// and in each season two blades, six settings, four defects and their clearings. About 400,000 entries.
func sawBook(b *testing.B) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "saws.db")
	a := benchApp(path)
	_, err := a.init(initOptions{company: "Bench", owner: "Olive Bench", jurisdiction: "bc", zone: "UTC", device: "laptop-1", at: "2017-01-05"})
	require.NoError(b, err)
	defer a.close()
	for i := range benchSaws {
		id := fmt.Sprintf("S%03d", i)
		require.NoError(b, a.book.Batch(a.ctx, func() error {
			_, _, _, err := a.addSaw(sawOptions{Saw: upkeep.Saw{ID: id, Spindle: "9000rpm"}, sizes: "200mm-225mm", at: "2017-01-06"})
			if err != nil {
				return err
			}
			for year := 2027 - benchSeasons; year <= 2026; year++ {
				if err := sawSeason(a, id, year); err != nil {
					return err
				}
			}
			return nil
		}))
	}
	return path
}

// sawSeason writes one season of one saw: two blades, four defects, the last one of some saws still open.
func sawSeason(a *app, saw string, year int) error {
	start := time.Date(year, time.May, 4, 17, 0, 0, 0, time.UTC)
	owner := a.opening.Owner
	var first string
	for d := range benchDays {
		at := start.AddDate(0, 0, d)
		var es []ledger.Entry
		if d%50 == 0 { // a new blade, set once; two more settings in its life
			refs, err := a.append([]ledger.Entry{entry(store.KindBladeFitted, at, owner, "", "", upkeep.BladeFitted{Saw: saw, Blade: fmt.Sprintf("%s-%d-%d", saw, year, d), Diameter: "225mm", Rated: "13000rpm"})})
			if err != nil {
				return err
			}
			first = a.book.Name(refs[0])
		}
		if d%17 == 0 {
			es = append(es, entry(store.KindSetting, at, owner, "", "", upkeep.Setting{Saw: saw, First: first}))
		}
		es = append(es, entry(store.KindSawUse, at, owner, owner, "", upkeep.Use{Saw: saw, Hours: "5.5h"}),
			entry(store.KindUpkeep, at, owner, "", "", upkeep.Line{Saw: saw, First: first, Daily: true, Weekly: d%7 == 0, Left: []string{}, Refuels: 5, Filings: 2, Nut: 2, Litres: "4.6L", Hours: "5.5h"}))
		refs, err := a.append(es)
		if err != nil {
			return err
		}
		if d%25 == 24 {
			if err := sawDefect(a, saw, at, d == 99 && year == 2026 && refs[0]%3 == 0); err != nil {
				return err
			}
		}
	}
	return nil
}

func sawDefect(a *app, saw string, at time.Time, stays bool) error {
	refs, err := a.append([]ledger.Entry{entry(store.KindDefect, at, a.opening.Owner, "", "", upkeep.Defect{Saw: saw, What: "nut", Stops: true, By: a.opening.Owner})})
	if err != nil || stays {
		return err
	}
	_, err = a.append([]ledger.Entry{entry(store.KindClear, at, a.opening.Owner, "", "", upkeep.Clear{Saw: saw, Clears: []string{a.book.Name(refs[0])}, Done: "new nut", Part: "nut"})})
	return err
}

// BenchmarkSawDue answers what 200 saws need, with ten seasons of entries behind them: the book opened, the answer written.
func BenchmarkSawDue(b *testing.B) {
	path := sawBook(b)
	for b.Loop() {
		a := benchApp(path)
		require.NoError(b, a.read())
		asked, err := a.asked(questionTimes{on: "2026-08-12"})
		require.NoError(b, err)
		lines, err := a.sawDue(nil, asked)
		require.NoError(b, err)
		require.Greater(b, len(lines), 2*benchSaws)
		require.NoError(b, a.printDue(lines, asked))
		a.close()
	}
}
