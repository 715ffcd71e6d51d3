package store

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// about builds an entry about a saw.
func about(kind string, data map[string]any) ledger.Entry {
	return ledger.Entry{Kind: kind, Happened: morning, Data: data}
}

// coded lists the facts of one topic: code and cited entries.
func coded(t *testing.T, b *Book, subject, topic string) (codes []int, cites []string) {
	t.Helper()
	facts, err := b.Topic(bg, always(b), subject, topic)
	require.NoError(t, err)
	for _, f := range facts {
		codes = append(codes, int(f.Code))
		for _, c := range f.Cites {
			cites = append(cites, b.Short(c))
		}
	}
	return codes, cites
}

func TestFactsOfSaws(t *testing.T) {
	b := create(t, newPath(t))
	write(t, b, opening(),
		about(KindSaw, map[string]any{"id": "S11", "service": ""}),
		about(KindSaw, map[string]any{"id": "S12", "service": "25h"}),
		about(KindBladeFitted, map[string]any{"saw": "S11", "blade": "B31", "first": ""}),
		about(KindBladeFitted, map[string]any{"saw": "S11", "blade": "B31", "first": ledger.Ref(own, 4)}),
		about(KindSetting, map[string]any{"saw": "S11", "first": ledger.Ref(own, 4)}),
		about(KindDefect, map[string]any{"saw": "S11", "what": "guard", "stops": true}),
		about(KindDefect, map[string]any{"saw": "S11", "what": "pad", "stops": false}),
		about(KindTag, map[string]any{"saw": "S11", "reason": "x"}),
		about(KindClear, map[string]any{"saw": "S11", "clears": []string{ledger.Ref(own, 7), ledger.Ref(own, 9)}, "again": true}),
		about(KindLookAgain, map[string]any{"saw": "S11", "clears": []string{ledger.Ref(own, 10)}}),
		about(KindUpkeep, map[string]any{"saw": "S11", "first": ledger.Ref(own, 4), "daily": true, "weekly": true, "left": []string{"plug"}, "refuels": 5, "filings": 2, "rock": 1, "nut": 2, "hours": "5.5h"}),
		about(KindUpkeep, map[string]any{"saw": "S11", "first": "", "daily": true, "weekly": false, "left": []string{}, "refuels": 0, "filings": 0, "rock": 0, "nut": 99, "hours": ""}),
		about(KindRefuel, map[string]any{"saw": "S11", "count": 300}),
		about(KindFiling, map[string]any{"saw": "S11", "first": ledger.Ref(own, 4), "count": 1}),
		ledger.Entry{Kind: KindSawUse, Happened: morning, Worker: ada, Data: map[string]any{"saw": "S11", "hours": "330min"}},
		about(KindKit, map[string]any{"kit": "north"}),
		about(KindPlots, map[string]any{"block": "B7"}),
		about(KindRetire, map[string]any{"saw": "S12"}),
		ledger.Entry{Kind: KindFitting, Happened: morning, Worker: ada, Data: map[string]any{"saw": "S11"}},
		hired(t, person(ada, "Ada Example", "ada")), hired(t, person(bo, "Bo Example", "bo")),
	)
	saw, month := SawSubject("S11"), "saw-month/"+morning.In(b.Zone()).Format("2006-01")+"/S11"
	for _, c := range []struct {
		subject, topic string
		codes          []int
		cites          []string
	}{
		{Everything, KindSaw, []int{0, int(CardService)}, nil},
		{SawSubject("S12"), KindSaw, []int{int(CardService)}, nil},
		{SawSubject("S12"), KindRetire, []int{0}, nil},
		{saw, KindBladeFitted, []int{0, 0}, []string{"4"}},
		{BladeSubject("B31"), KindBladeFitted, []int{0, 0}, []string{"4"}},
		{saw, KindSetting, []int{0}, []string{"4"}},
		{saw, KindDefect, []int{int(DefectStops), 0}, nil},
		{saw, KindTag, []int{0}, nil},
		{saw, KindClear, []int{int(ClearAgain)}, []string{"7", "9"}},
		{saw, KindLookAgain, []int{0}, []string{"10"}},
		{saw, KindFitting, []int{0}, nil},
		{month, KindUpkeep, []int{int(LineDaily | LineWeekly | LineLeft | LineUsed | 2<<4), int(LineDaily | 15<<4)}, []string{"4"}},
		{month, KindRefuel, []int{5, 255}, nil},
		{month, KindFiling, []int{2, 1}, []string{"4", "4"}},
		{month, KindRock, []int{1}, []string{"4"}},
		{month, KindSawUse, []int{55}, nil},
		{ada, KindSawUse, []int{0}, nil},
		{ada, KindFitting, []int{0}, nil},
		{KitSubject("north"), KindKit, []int{0}, nil},
		{BlockSubject("B7"), KindPlots, []int{0}, nil},
	} {
		codes, cites := coded(t, b, c.subject, c.topic)
		require.Equal(t, c.codes, codes, "%s of %s", c.topic, c.subject)
		if c.topic != KindRefuel {
			require.Equal(t, c.cites, cites, "%s of %s", c.topic, c.subject)
		}
	}
	require.Equal(t, 15, NutChecks(uint8(LineDaily|15<<4)))
	requireSound(t, b)
}

// A join with a saw says who had it, under the saw as well as under the worker and the check.
func TestJoinSaysWhoHadTheSaw(t *testing.T) {
	b := create(t, newPath(t))
	write(t, b, opening(),
		ledger.Entry{Kind: KindJoin, Happened: morning, Worker: ada, Data: Join{Tailgate: ledger.Ref(own, 1), Saw: "S11", Group: "light-brush"}},
		ledger.Entry{Kind: KindJoin, Happened: morning, Worker: bo, Data: Join{Tailgate: ledger.Ref(own, 1)}},
	)
	facts, err := b.Topic(bg, always(b), SawMonthSubject(0, "S11"), KindSawUse)
	require.NoError(t, err)
	require.Empty(t, facts, "another month")
	day := func(f training.Fact) string { return f.Day.String() }
	facts, err = b.Topic(bg, always(b), "saw-month/"+morning.In(b.Zone()).Format("2006-01")+"/S11", KindSawUse)
	require.NoError(t, err)
	require.Len(t, facts, 1)
	require.Equal(t, morning.In(b.Zone()).Format(time.DateOnly), day(facts[0]))
	require.Equal(t, training.FactOther, facts[0].Kind)
}

func TestEntriesAboutSawsThatNameNonsenseAreRefused(t *testing.T) {
	b := create(t, newPath(t))
	write(t, b, opening())
	many := strings.Split(strings.Repeat(ledger.Ref(own, 1)+" ", maxCites+1), " ")[:maxCites+1]
	for what, e := range map[string]ledger.Entry{
		`"nowhere" is not a reference`:      about(KindSetting, map[string]any{"saw": "S11", "first": "nowhere"}),
		`"here" is not a reference`:         about(KindBladeScrapped, map[string]any{"saw": "S11", "first": "here"}),
		"it names 256 entries; at most 255": about(KindClear, map[string]any{"saw": "S11", "clears": many}),
		`"x" is not a reference`:            about(KindUpkeep, map[string]any{"saw": "S11", "first": "x"}),
	} {
		_, err := b.Append(bg, minute(1), []ledger.Entry{e})
		require.ErrorContains(t, err, what)
	}
	n, err := b.Size(bg, own)
	require.NoError(t, err)
	require.EqualValues(t, 1, n)
}

func TestEngineHoursInTenths(t *testing.T) {
	for text, want := range map[string]uint8{"5.5h": 55, "330min": 55, "19800s": 55, "5.54h": 55, "5.56 h": 56, "30h": 255, "": 0, "-3h": 0, "xh": 0, "5.5": 0, "NaNh": 0} {
		h := ledger.Header{Data: []byte(`{"hours":"` + text + `"}`)}
		require.Equal(t, want, tenths(h), text)
	}
}
