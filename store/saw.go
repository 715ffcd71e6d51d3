package store

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// Kinds of entries about saws, their blades, the spare kit and plots. Their records are in hazards/upkeep, hazards/dayplan
// and hazards/stand.
const (
	KindSaw           = "saw"
	KindRetire        = "saw-retired"
	KindBladeFitted   = "blade-fitted"
	KindBladeScrapped = "blade-scrapped"
	KindSawUse        = "saw-use"
	KindUpkeep        = "upkeep"
	KindRefuel        = "refuel"
	KindFiling        = "filing"
	KindSetting       = "setting"
	KindDefect        = "defect"
	KindTag           = "tag"
	KindClear         = "clear"
	KindLookAgain     = "look-again"
	KindFitting       = "fitting"
	KindKit           = "kit"
	KindPlots         = "plots" // counts on the plots of a block
)

// What stays with a saw for years stands under SawSubject; what is written every day stands under SawMonthSubject, so that a
// question reads a month or two and not ten seasons. The saws of one month lie side by side.
func SawSubject(saw string) string     { return "saw/" + saw }
func BladeSubject(blade string) string { return "blade/" + blade }
func KitSubject(kit string) string     { return "kit/" + kit }
func SawMonthSubject(day civil.Day, saw string) string {
	return "saw-month/" + MonthOf(day) + "/" + saw
}

// MonthOf writes the month of a day, as 2026-05; months compare as their texts do.
func MonthOf(day civil.Day) string {
	text := day.String()
	return text[:min(len(text), len("2006-01"))]
}

// KindRock is the topic of hits on rock that a day's line tells of; there is no entry of that kind.
const KindRock = "rock"

// Code of a fact of KindUpkeep: what the day's line says, with the wrench checks of the nut in the upper bits (NutChecks). The
// codes of KindRefuel, KindFiling and KindRock are counts, that of KindSawUse tenths of an engine hour; KindDefect has
// DefectStops, KindClear ClearAgain and KindSaw CardService, where the card tells of maker's hours.
const (
	LineDaily  uint8 = 1 << iota // daily upkeep done
	LineWeekly                   // weekly upkeep done
	LineLeft                     // but for what Left names
	LineUsed                     // it tells of refuels or engine hours
	nutBits          = iota

	DefectStops uint8 = 1
	ClearAgain  uint8 = 1
	CardService uint8 = 1
)

const (
	mostCode     = 255
	mostNut      = mostCode >> nutBits
	tenthsOfHour = 10
)

// NutChecks is how many wrench checks of the nut the line of a fact tells of.
func NutChecks(code uint8) int { return int(code >> nutBits) }

// aboutSaw gives the facts of an entry about a saw, a blade, a kit or plots; ok is false for every other kind. A worker named by such an
// entry gets the fact under its kind as well.
func (d deriver) aboutSaw(h ledger.Header, f training.Fact) (rows []placed, ok bool, err error) {
	switch h.Kind {
	case KindSaw:
		id := field(h, "id")
		if field(h, "service") != "" {
			f.Code = CardService
		}
		return []placed{{Everything, h.Kind, f}, {SawSubject(id), h.Kind, f}}, true, nil
	case KindKit:
		return []placed{{KitSubject(field(h, "kit")), h.Kind, f}}, true, nil
	case KindPlots:
		return []placed{{BlockSubject(field(h, "block")), h.Kind, f}}, true, nil
	case KindBladeFitted, KindBladeScrapped:
		rows, err := d.aboutBlade(h, f)
		return rows, true, err
	case KindSetting, KindRetire, KindDefect, KindTag, KindClear, KindLookAgain, KindFitting:
		rows, err := d.life(h, f)
		return rows, true, err
	case KindSawUse, KindUpkeep, KindRefuel, KindFiling:
		rows, err := d.sawDay(h, f)
		return rows, true, err
	}
	return nil, false, nil
}

func (d deriver) aboutBlade(h ledger.Header, f training.Fact) ([]placed, error) {
	if err := d.citesFirst(h, &f); err != nil {
		return nil, err
	}
	return []placed{{SawSubject(field(h, "saw")), h.Kind, f}, {BladeSubject(field(h, "blade")), h.Kind, f}}, nil
}

// citesFirst lets a fact about a blade name the entry that fitted it first.
func (d deriver) citesFirst(h ledger.Header, f *training.Fact) error {
	text := field(h, "first")
	if text == "" {
		return nil
	}
	ref, err := d.refs.parse(text)
	if err != nil {
		return fmt.Errorf("%s: %w", h.Kind, err)
	}
	f.Cites = []training.Ref{ref}
	return nil
}

// life gives the facts that stay with a saw.
func (d deriver) life(h ledger.Header, f training.Fact) ([]placed, error) {
	var err error
	switch h.Kind {
	case KindSetting:
		err = d.citesFirst(h, &f)
	case KindDefect:
		f.Code = bitIf(h, "stops", DefectStops)
	case KindClear, KindLookAgain:
		f.Code = bitIf(h, "again", ClearAgain)
		f.Cites, err = d.list(h.Data, "clears")
	}
	if err == nil && len(f.Cites) > maxCites {
		err = fmt.Errorf("it names %d entries; at most %d fit", len(f.Cites), maxCites)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", h.Kind, err)
	}
	return withWorker(h, f, placed{SawSubject(field(h, "saw")), h.Kind, f}), nil
}

func withWorker(h ledger.Header, f training.Fact, rows ...placed) []placed {
	if h.Worker == "" {
		return rows
	}
	return append(rows, placed{h.Worker, h.Kind, f})
}

func bitIf(h ledger.Header, name string, code uint8) uint8 {
	if string(ledger.Lookup(h.Data, name)) == "true" {
		return code
	}
	return 0
}

// sawDay gives the facts of what is written every day. A line counts as a refuelling and a filing as well, where it tells of
// them.
func (d deriver) sawDay(h ledger.Header, f training.Fact) ([]placed, error) {
	subject := SawMonthSubject(f.Day, field(h, "saw"))
	coded := func(kind string, code uint8) placed {
		g := f
		g.Code = code
		return placed{subject, kind, g}
	}
	switch h.Kind {
	case KindSawUse:
		return withWorker(h, f, coded(KindSawUse, tenths(h))), nil
	case KindRefuel:
		return []placed{coded(KindRefuel, whole(h, "count"))}, nil
	}
	if err := d.citesFirst(h, &f); err != nil {
		return nil, err
	}
	if h.Kind == KindFiling {
		return []placed{coded(KindFiling, whole(h, "count"))}, nil
	}
	rows := []placed{coded(KindUpkeep, lineCode(h))}
	for _, c := range []struct{ kind, name string }{{KindRefuel, "refuels"}, {KindFiling, "filings"}, {KindRock, "rock"}} {
		if n := whole(h, c.name); n > 0 {
			rows = append(rows, coded(c.kind, n))
		}
	}
	return rows, nil
}

func lineCode(h ledger.Header) uint8 {
	code := bitIf(h, "daily", LineDaily) | bitIf(h, "weekly", LineWeekly) | min(whole(h, "nut"), mostNut)<<nutBits
	if left := string(ledger.Lookup(h.Data, "left")); left != "" && left != "[]" {
		code |= LineLeft
	}
	if whole(h, "refuels") > 0 || field(h, "hours") != "" {
		code |= LineUsed
	}
	return code
}

// whole reads a count; what a code cannot hold counts as the most it can.
func whole(h ledger.Header, name string) uint8 {
	n, err := strconv.Atoi(string(ledger.Lookup(h.Data, name)))
	if err != nil {
		return 0
	}
	return uint8(min(max(n, 0), mostCode))
}

// tenths reads engine hours as "5.5h" or "330min"; 0 where they are not told.
func tenths(h ledger.Header) uint8 {
	text := field(h, "hours")
	for _, unit := range []struct {
		name  string
		hours float64
	}{{"min", 1.0 / 60}, {"h", 1}, {"s", 1.0 / 3600}} {
		if number, ok := strings.CutSuffix(text, unit.name); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
			if err != nil || !(v > 0) {
				return 0
			}
			return uint8(min(v*unit.hours*tenthsOfHour+0.5, mostCode))
		}
	}
	return 0
}
