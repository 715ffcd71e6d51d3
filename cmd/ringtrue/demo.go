package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

type demoOptions struct {
	workers, seasons int
	seed             uint64
}

func newDemoCmd(a *app) *cobra.Command {
	o := demoOptions{}
	c := &cobra.Command{
		Use:   "demo --book PATH",
		Short: "Write an invented season to look at, and its workbook",
		Long: `Write a book with invented people, blocks and days through the same code as a user's commands: recruits who fail, are
restricted and recover, late entries, struck entries, mornings on hold. Then make one tailgate check and one sign-off
on it, write its workbook beside it, and say what to look at. Everything follows from --seed; the clock plays no part.
A demo book is marked ` + demoMark + ` on every output and takes no real entries.`,
		Example: "  ringtrue demo --book demo.db\n  ringtrue demo --book big.db --workers 500 --seasons 10",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return a.demo(o)
		},
	}
	f := c.Flags()
	f.IntVar(&o.workers, "workers", 14, "workers on the crew list in each season, 5 to 2000")
	f.IntVar(&o.seasons, "seasons", 1, "seasons, 1 to 30; the last one is 2026")
	f.Uint64Var(&o.seed, "seed", 1, "what the invention starts from")
	return c
}

// demo writes the demo book and its workbook. On failure nothing stays behind.
func (a *app) demo(o demoOptions) error {
	if o.workers < 5 || o.workers > 2000 || o.seasons < 1 || o.seasons > 30 {
		return usage("--workers 5 to 2000, --seasons 1 to 30", "the demo cannot be made with %d workers and %d seasons", o.workers, o.seasons)
	}
	path, err := a.bookPath()
	if err != nil {
		return err
	}
	out := strings.TrimSuffix(path, filepath.Ext(path)) + ".xlsx"
	if _, err := os.Lstat(out); err == nil {
		return refuse("name another book with --book, or move the file away", "%s is there already", out)
	}
	defer hurry()()
	w := newWorld(a, o)
	if err := w.write(); err != nil {
		if a.book != nil {
			_ = a.book.Discard()
			a.book = nil
		}
		return err
	}
	if _, err := a.export(out, questionTimes{}, false); err != nil {
		return err
	}
	return w.report(path, out)
}

// world is the invention under way: its own clock, its own luck.
type world struct {
	*app
	options demoOptions
	luck    *rand.Rand
	clock   time.Time
	zone    *time.Location
	std     standards
	crews   []*demoCrew
	names   []string // free names
	told    []string // what happened, for the report
	last    *tailgate
	signed  string
	counts  map[string]int
	planted []plantedUse // uses of a saw against what the book said
	failed  bool         // somebody of the first crew was restricted on purpose
}

// lastSeason is the year of the last season.
const lastSeason = 2026

func newWorld(a *app, o demoOptions) *world {
	w := &world{app: a, options: o, luck: rand.New(rand.NewPCG(o.seed, 0)), counts: map[string]int{"late": 0, "struck": 0, "restrictions": 0, "lifts": 0}}
	var key [32]byte
	copy(key[:], fmt.Sprintf("invented demo, seed %d", o.seed))
	a.draw = rand.NewChaCha8(key)
	a.now = func() time.Time { return w.clock }
	w.names = inventNames(w.luck)
	return w
}

// write makes all seasons. Each day is one transaction.
func (w *world) write() error {
	first := lastSeason - w.options.seasons + 1
	if err := w.open(first); err != nil {
		return err
	}
	for year := first; year <= lastSeason; year++ {
		if err := w.season(year); err != nil {
			return fmt.Errorf("demo season %d: %w", year, err)
		}
	}
	if err := w.unplanted(); err != nil {
		return err
	}
	return w.finale()
}

// open starts the book in the April before the first season.
func (w *world) open(year int) error {
	zone, err := time.LoadLocation("America/Vancouver")
	if err != nil {
		return err
	}
	w.zone = zone
	w.clock = time.Date(year, time.April, 13, 9, 0, 0, 0, zone)
	_, err = w.init(initOptions{company: "Hazelrun Thinning", owner: w.name(), jurisdiction: "bc", zone: zone.String(), device: "laptop-1",
		basis: "owner's own statement: 20 years of thinning, invented", demo: true})
	if err != nil {
		return err
	}
	return w.book.Batch(w.ctx, w.blocks)
}

// name takes the next free invented name.
func (w *world) name() string {
	n := w.names[0]
	w.names = w.names[1:]
	return n
}

// at writes a moment of a day as --at takes it.
func (w *world) at(day time.Time, clock string) string { return day.Format("2006-01-02") + "T" + clock }

// acting sets who acts, and the clock; entries are made then.
func (w *world) acting(who string, at string) error {
	t, err := time.ParseInLocation("2006-01-02T15:04", at, w.zone)
	if err != nil {
		return err
	}
	w.as, w.clock = who, t
	return nil
}

// chance is true n times in a hundred.
func (w *world) chance(n int) bool { return w.luck.IntN(100) < n }

func (w *world) tell(format string, args ...any) {
	if len(w.told) < 12 {
		w.told = append(w.told, fmt.Sprintf(format, args...))
	}
}

// report says what was done and what to look at.
func (w *world) report(path, out string) error {
	n, err := w.book.Size(w.ctx, w.book.Origin())
	if err != nil {
		return err
	}
	if w.json {
		return w.printJSON(map[string]any{"format": "ringtrue/demo/1", "book": path, "workbook": out, "entries": n, "counts": w.counts, "planted": append([]plantedUse{}, w.planted...), "last_answer": w.last.Assessment.Answer})
	}
	w.mark()
	w.say("wrote %s (%d entries) and %s", path, n, out)
	w.say("%d workers in %s, %s to 2026, %d tailgate checks (%d on hold), %d looks, %d sign-offs, %d restrictions, %d lifts, %d late entries, %d struck",
		w.options.workers, counted(len(w.crews), "crew"), counted(w.options.seasons, "season"), w.counts["checks"], w.counts["holds"], w.counts["looks"], w.counts["sign-offs"],
		w.counts["restrictions"], w.counts["lifts"], w.counts["late"], w.counts["struck"])
	for _, t := range w.told {
		w.say("  %s", t)
	}
	w.say("the last tailgate check (entry %s) answered: %s", w.book.Short(w.last.ref), w.last.Assessment.Answer)
	w.say("the last sign-off: %s", w.signed)
	if len(w.planted) > 0 {
		w.say("%d uses of a saw against what the book said are among it", len(w.planted))
	}
	return w.nextSteps(path)
}

func (w *world) nextSteps(path string) error {
	recruit := w.crews[0].recruit()
	w.say("try next:")
	for _, line := range []string{
		"standing", "standing " + recruit, "evidence show " + recruit + " --on 2026-06-15 --known 2026-06-15",
		"tailgate show " + w.book.Short(w.last.ref), "evidence against", "book verify", "ppe list " + recruit,
	} {
		w.say("  ringtrue --book %s %s", path, line)
	}
	return nil
}

// finale makes the tailgate check and the sign-off that the report shows.
func (w *world) finale() error {
	return w.book.Batch(w.ctx, func() error {
		c := w.crews[0]
		day := time.Date(2026, time.August, 6, 0, 0, 0, 0, w.zone)
		if err := w.finalLooks(c, day); err != nil {
			return err
		}
		t, err := w.morning(c, day, morningPlan{wet: true, full: true})
		if err != nil {
			return err
		}
		w.last = &t
		if t.Assessment.Answer == hazards.Hold {
			return nil
		}
		if err := w.joinAll(c, day, t); err != nil {
			return err
		}
		return w.afternoon(c, day, t)
	})
}

// finalLooks lets the youngest recruit be looked at and signed off once more, on skill 3.3.
func (w *world) finalLooks(c *demoCrew, day time.Time) error {
	m := c.members[len(c.members)-1]
	for i, by := range []string{c.supervisor, c.second(m), c.supervisor} {
		d := day.AddDate(0, 0, i-3)
		if err := w.look(c, m, d, by, []string{"3.3"}, i == 0, lookMet); err != nil {
			return err
		}
	}
	if err := w.acting(c.supervisor, w.at(day.AddDate(0, 0, -1), "17:00")); err != nil {
		return err
	}
	d, rec, refs, err := w.sign(m.short, "3.3", "")
	if err != nil {
		return err
	}
	w.signed = fmt.Sprintf("%s, %s, until %s (entry %s)", d.who.Name, d.skill.ID, rec.Until, w.book.Short(refs[0]))
	return nil
}

// gateGroup is the task group of the demo's ordinary work.
const gateGroup = "light-brush"

// allowed is the level at which somebody may work, at the clock of the moment.
func (w *world) allowed(short string) (training.Level, error) {
	who, err := w.person(short)
	if err != nil {
		return 0, err
	}
	asked := w.book.AskedAt(w.clock, w.clock)
	asked.Known = w.knownNow(asked.Day).Known // a look typed late has pulled the book's clock ahead of this one
	topics, err := w.book.Facts(w.ctx, asked, who.ID)
	if err != nil {
		return 0, err
	}
	g, _ := w.std.Group(gateGroup)
	perm, err := w.permission(topics, g, standingsOf(topics, w.std, asked, &g), w.std, asked)
	return perm.Level, err
}
