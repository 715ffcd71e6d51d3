package upkeep

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
)

const dayLong = 24 * 3600

func TestOpenUntilClearedByName(t *testing.T) {
	h := starter(t)
	events := []Event{
		{Entry: 1, Kind: Found, At: 100, Stops: true}, // guard
		{Entry: 2, Kind: Found, At: 110},              // worn pad
		{Entry: 3, Kind: Tagged, At: 120},
		{Entry: 4, Kind: Cleared, At: 200, Clears: []int64{1, 3}},
	}
	require.Empty(t, Open(events, h, 99))
	require.True(t, Stopped(Open(events, h, 100)))
	open := Open(events, h, 150)
	require.Len(t, open, 3)
	require.Equal(t, int64(2), open[2].Entry, "what stops comes first")
	open = Open(events, h, 200)
	require.Len(t, open, 1)
	require.False(t, Stopped(open))
}

func TestWhatIsFoundAfterAClearingStaysOpen(t *testing.T) {
	h := starter(t)
	events := []Event{
		{Entry: 1, Kind: Found, At: 100, Stops: true}, {Entry: 4, Kind: Cleared, At: 200, Clears: []int64{1}},
		{Entry: 5, Kind: Found, At: 150, Stops: true}, // told later, about the time before
	}
	require.True(t, Stopped(Open(events, h, 300)))
}

// The finder in a crew of two clears; without a second look within a day the saw counts as tagged again.
func TestSecondLookWithinADay(t *testing.T) {
	h := starter(t)
	events := []Event{
		{Entry: 1, Kind: Found, At: 0, Stops: true},
		{Entry: 2, Kind: Cleared, At: 1000, Again: true, Clears: []int64{1}},
	}
	open := Open(events, h, 1000)
	require.Len(t, open, 1)
	require.False(t, Stopped(open))
	require.Equal(t, int64(1000+dayLong), open[0].SeenBy)
	require.False(t, Stopped(Open(events, h, 1000+dayLong)))
	late := Open(events, h, 1001+dayLong)
	require.True(t, Stopped(late) && late[0].Late)

	looked := append(events, Event{Entry: 3, Kind: SeenAgain, At: 5000, Clears: []int64{2}})
	require.Empty(t, Open(looked, h, 5000))
	require.Empty(t, Open(looked, h, 9*dayLong))
	looked[2].At = 3 * dayLong
	require.True(t, Stopped(Open(looked, h, 2*dayLong)), "it was not looked at in time")
	require.Empty(t, Open(looked, h, 3*dayLong), "but it was then")

	require.True(t, Stopped(Open(events, with(t, house.SecondLook, "1h"), 1000+3601)))
}

func TestSecondLookNotNeededOnceANamedPersonCleared(t *testing.T) {
	h := starter(t)
	events := []Event{
		{Entry: 1, Kind: Found, At: 0, Stops: true},
		{Entry: 2, Kind: Cleared, At: 1000, Again: true, Clears: []int64{1}},
		{Entry: 3, Kind: Cleared, At: 2000, Clears: []int64{1}},
	}
	require.Empty(t, Open(events, h, 9*dayLong))
	events[1], events[2] = events[2], events[1]
	require.Empty(t, Open(events, h, 9*dayLong))
}

func TestClearedTwiceByTheFinderTheLastTimeCounts(t *testing.T) {
	h := starter(t)
	events := []Event{
		{Entry: 1, Kind: Found, At: 0, Stops: true},
		{Entry: 2, Kind: Cleared, At: 1000, Again: true, Clears: []int64{1}},
		{Entry: 3, Kind: Cleared, At: 2 * dayLong, Again: true, Clears: []int64{1}},
	}
	require.True(t, Stopped(Open(events, h, 1001+dayLong)))
	require.False(t, Stopped(Open(events, h, 2*dayLong)))
	require.True(t, Stopped(Open(events, h, 3*dayLong+1)))
	require.Empty(t, Open(append(events, Event{Entry: 4, Kind: SeenAgain, At: 1500, Clears: []int64{2}}), h, 9*dayLong))
}

// The order in which events reach the book does not matter, a clearing of something else clears nothing, and one more
// defect never opens fewer.
func TestOpenProperties(t *testing.T) {
	h := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		var events []Event
		for i := range rapid.IntRange(1, 12).Draw(t, "events") {
			e := Event{Entry: int64(i + 1), Kind: EventKind(rapid.IntRange(0, 3).Draw(t, "kind")), At: int64(rapid.IntRange(0, 5*dayLong).Draw(t, "at")),
				Stops: rapid.Bool().Draw(t, "stops"), Again: rapid.Bool().Draw(t, "again")}
			if e.Kind >= Cleared {
				e.Clears = []int64{int64(rapid.IntRange(1, 12).Draw(t, "clears"))}
			}
			events = append(events, e)
		}
		at := int64(rapid.IntRange(0, 6*dayLong).Draw(t, "asked"))
		open := Open(events, h, at)
		mixed := append([]Event(nil), events...)
		rand.New(rand.NewSource(int64(rapid.IntRange(0, 99).Draw(t, "seed")))).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		require.ElementsMatch(t, ids(open), ids(Open(mixed, h, at)))
		more := Open(append(events, Event{Entry: 99, Kind: Tagged, At: at}), h, at)
		require.Len(t, more, len(open)+1)
		require.True(t, Stopped(more))
	})
}

func ids(open []OpenItem) []int64 {
	var list []int64
	for _, o := range open {
		list = append(list, o.Entry)
	}
	return list
}

func TestWhoMayClear(t *testing.T) {
	h := starter(t)
	two := Clearing{By: "ana", Finders: []string{"ana"}, Second: "ben", Done: "new guard", Part: "guard"}
	for _, c := range []struct {
		name  string
		with  func(*Clearing)
		rule  string
		again bool
		want  string // "" = may
	}{
		{"the finder in a crew of two, part replaced", func(*Clearing) {}, FinderCrewOfTwo, true, ""},
		{"no part", func(c *Clearing) { c.Part = " " }, FinderCrewOfTwo, true, "no part is named"},
		{"nobody else named", func(c *Clearing) { c.Second = "" }, FinderCrewOfTwo, false, "who found a defect does not clear it: house rule finder-clears in a crew of two"},
		{"the second is the finder", func(c *Clearing) { c.Second = "ana" }, FinderCrewOfTwo, true, "the second person is somebody else"},
		{"the check names three", func(c *Clearing) { c.Crew = 3 }, FinderCrewOfTwo, true, "that day's check names 3 people"},
		{"the check names two", func(c *Clearing) { c.Crew = 2 }, FinderCrewOfTwo, true, ""},
		{"nothing was done", func(c *Clearing) { c.Done = "" }, FinderCrewOfTwo, true, "it is not said what was done"},
		{"house rule says never", func(*Clearing) {}, FinderNever, false, "who found a defect does not clear it"},
		{"a named finder, never", func(c *Clearing) { c.Named, c.Second = true, "" }, FinderNever, false, "who found a defect does not clear it"},
		{"a named finder, always", func(c *Clearing) { c.Named, c.Second = true, "" }, FinderAlways, false, ""},
		{"an unnamed finder, always", func(c *Clearing) { c.Second = "" }, FinderAlways, false, "who found a defect does not clear it"},
		{"a named other person", func(c *Clearing) { c.By, c.Named = "luis", true }, FinderNever, false, ""},
		{"an unnamed other person", func(c *Clearing) { c.By = "luis" }, FinderCrewOfTwo, false, "who clears a saw is named for it"},
		{"an edition with another word is the strictest", func(c *Clearing) { c.Named = true }, "sometimes", false, "who found a defect does not clear it"},
	} {
		one := two
		c.with(&one)
		rules := with(t, house.FinderClears, c.rule)
		again, err := MayClear(one, rules)
		if c.want == "" {
			require.NoError(t, err, c.name)
			require.Equal(t, c.again, again, c.name)
			continue
		}
		require.ErrorContains(t, err, c.want, c.name)
	}
	require.NoError(t, Rule(h))
	require.ErrorContains(t, Rule(with(t, house.FinderClears, "sometimes")), "it is one of: never, in a crew of two, always")
}
