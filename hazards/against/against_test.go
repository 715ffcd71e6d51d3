package against

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// Moments of one day, in seconds from its midnight.
const (
	hour   = 3600
	check  = 7 * hour
	joined = check + 600
	noon   = 12 * hour
	closed = 16 * hour
)

// clean is a use at noon with nothing against it: Ben cuts light brush in hearing with S1, which was looked at.
func clean() (Use, Facts) {
	u := Use{Entry: 50, Kind: Had, Worker: "ben", Saw: "S1", Block: "B7", From: noon, Until: noon}
	f := Facts{
		Checks: []Check{{Entry: 10, Block: "B7", Answers: []Answer{{Entry: 10, From: check, Word: hazards.Go,
			Crew: []hazards.CrewLine{
				{Worker: "okafor", Level: training.NoSaw, Fit: hazards.Said{Is: hazards.Yes}},
				{Worker: "ben", Saw: "S1", Group: "light-brush", Level: training.InHearing, Fit: hazards.Said{Is: hazards.Yes}},
			},
			Saws: []hazards.SawUse{{ID: "S1", Use: true}, {ID: "S2", Use: true}}}}}},
		Joins:  []Join{{Entry: 11, Block: "B7", At: joined, Saw: "S1"}},
		Person: []Spell{{From: 0, Oriented: true, Groups: []Held{{Group: "thinning", Level: training.InSight}, {Group: "light-brush", Level: training.InHearing, Release: 5}}}},
	}
	return u, f
}

func codes(s Said) []Code {
	list := []Code{}
	for _, r := range s.Reasons {
		list = append(list, r.Code)
	}
	return list
}

func line(f *Facts) *hazards.CrewLine { return &f.Checks[0].Answers[0].Crew[1] }

// Each way to say no that the task names ("a hold; a tag; a restriction; a missing or exceeded release; not oriented; unfit; joined without a saw
// or not at all; a retired saw; nobody watched where in sight needs it"), one at a time.
func TestEachNo(t *testing.T) {
	for name, c := range map[string]struct {
		with func(*Use, *Facts)
		want []Code
	}{
		"nothing":           {func(*Use, *Facts) {}, []Code{}},
		"block not told":    {func(u *Use, _ *Facts) { u.Block = "" }, []Code{}},
		"the other saw":     {func(u *Use, _ *Facts) { u.Saw = "S2" }, []Code{}},
		"hold":              {func(_ *Use, f *Facts) { f.Checks[0].Answers[0].Hold = true }, []Code{OnHold}},
		"tagged":            {func(_ *Use, f *Facts) { f.Downs = []Down{{Entry: 20, From: 11 * hour, Until: Open}} }, []Code{Tagged}},
		"cleared before":    {func(_ *Use, f *Facts) { f.Downs = []Down{{Entry: 20, From: 8 * hour, Until: noon}} }, []Code{}},
		"tagged later":      {func(_ *Use, f *Facts) { f.Downs = []Down{{Entry: 20, From: noon + 1, Until: Open}} }, []Code{}},
		"retired":           {func(_ *Use, f *Facts) { f.Downs = []Down{{Entry: 20, Until: Open, Retired: true}} }, []Code{Retired}},
		"down by the check": {func(_ *Use, f *Facts) { f.Checks[0].Answers[0].Saws[0].Use = false }, []Code{SawDown}},
		"not on the sheet":  {func(u *Use, _ *Facts) { u.Saw = "S9" }, []Code{NotLookedAt}},
		"restricted": {func(_ *Use, f *Facts) {
			f.Person[0].Groups[1] = Held{Group: "light-brush", Level: training.NoSaw, Restricted: []Skill{{"8.2", 30}}}
		}, []Code{Restricted}},
		"no saw":                         {func(_ *Use, f *Facts) { f.Person[0].Groups[1].Level = training.NoSaw }, []Code{NotReleased}},
		"beyond release":                 {func(_ *Use, f *Facts) { f.Person[0].Groups[1].Level = training.InSight; line(f).WatchedBy = "okafor" }, []Code{NotReleased}},
		"group not known":                {func(_ *Use, f *Facts) { line(f).Group = "felling" }, []Code{NotReleased}},
		"nothing is known of the worker": {func(_ *Use, f *Facts) { f.Person = nil }, []Code{NotReleased, NotOriented}},
		"not oriented":                   {func(_ *Use, f *Facts) { f.Person[0].Oriented = false }, []Code{NotOriented}},
		"unfit":                          {func(_ *Use, f *Facts) { line(f).Fit.Is = hazards.No }, []Code{Unfit}},
		"fit not known":                  {func(_ *Use, f *Facts) { line(f).Fit.Is = hazards.DontKnow }, []Code{Unfit}},
		"equipment":                      {func(_ *Use, f *Facts) { f.Checks[0].Answers[0].Stops = []Stop{{"ana", "ppe"}, {"ben", "ppe"}} }, []Code{StoppedThere}},
		"steep":                          {func(_ *Use, f *Facts) { f.Checks[0].Answers[0].Stops = []Stop{{"ben", "slope-release"}} }, []Code{NotReleased}},
		"in sight, nobody named":         {func(_ *Use, f *Facts) { line(f).Level = training.InSight }, []Code{NotWatched}},
		"in sight, watched":              {func(_ *Use, f *Facts) { line(f).Level = training.InSight; line(f).WatchedBy = "okafor" }, []Code{}},
		"watcher saws": {func(_ *Use, f *Facts) {
			line(f).Level, line(f).WatchedBy = training.InSight, "luis"
			f.Checks[0].Answers[0].Stops = []Stop{{"ben", "not-watched"}}
		}, []Code{NotWatched}},
		"no check":         {func(_ *Use, f *Facts) { f.Checks, f.Joins = nil, nil }, []Code{NoCheck}},
		"another block":    {func(u *Use, _ *Facts) { u.Block = "K3" }, []Code{NoCheck}},
		"before the check": {func(u *Use, _ *Facts) { u.From, u.Until = check-60, check-60 }, []Code{NoCheck}},
		"not joined":       {func(_ *Use, f *Facts) { f.Joins = nil }, []Code{NotJoined}},
		"joined later":     {func(u *Use, _ *Facts) { u.From, u.Until = joined-60, joined-60 }, []Code{NotJoined}},
		"without a saw":    {func(_ *Use, f *Facts) { f.Joins[0].Saw = "" }, []Code{JoinedWithout}},
		"the crew moved": {func(_ *Use, f *Facts) {
			a := f.Checks[0].Answers[0]
			a.Entry, a.From, a.Hold, a.MovedTo = 12, 11*hour, true, "K3"
			f.Checks[0].Answers = append(f.Checks[0].Answers, a)
		}, []Code{OnHold}},
		"a saw's entry names nobody": {func(u *Use, f *Facts) { u.Worker, u.Block, f.Joins = "", "", nil }, []Code{}},
		"of a saw on no sheet":       {func(u *Use, f *Facts) { u.Worker, u.Block, u.Saw, f.Joins = "", "", "S9", nil }, []Code{}},
		"fuel into a tagged saw": {func(u *Use, f *Facts) {
			u.Worker, u.Block, f.Joins = "", "", nil
			f.Downs = []Down{{Entry: 20, Until: Open}}
		}, []Code{Tagged}},
		"fuel under a hold": {func(u *Use, f *Facts) {
			u.Worker, u.Block, f.Joins = "", "", nil
			f.Checks[0].Answers[0].Hold = true
		}, []Code{OnHold}},
	} {
		u, f := clean()
		c.with(&u, &f)
		require.Equal(t, c.want, codes(Of(u, f)), name)
	}
}

// What the answer rests on stands beside it.
func TestWhatWasSaid(t *testing.T) {
	u, f := clean()
	s := Of(u, f)
	require.Equal(t, Said{Level: training.InHearing, Group: "light-brush", Release: 5, Join: 11, With: "S1", Check: 10, Answer: hazards.Go}, s)
}

// A change takes over from its moment on, and a second check from its own.
func TestAnswersFollowEachOther(t *testing.T) {
	u, f := clean()
	rain := f.Checks[0].Answers[0]
	rain.Entry, rain.From, rain.Hold = 12, 11*hour, true
	f.Checks[0].Answers = append(f.Checks[0].Answers, rain)
	require.Equal(t, []Reason{{OnHold, 12, ""}}, Of(u, f).Reasons)
	u.From, u.Until = 10*hour, 10*hour
	require.False(t, Of(u, f).Against())

	again := f.Checks[0]
	again.Entry, again.Answers = 14, []Answer{f.Checks[0].Answers[0]}
	again.Answers[0].Entry, again.Answers[0].From = 14, 13*hour
	f.Checks = append(f.Checks, again)
	u.From, u.Until = 14*hour, 14*hour
	require.False(t, Of(u, f).Against(), "who joined a check of the block that morning need not join the next one")
	require.Equal(t, training.Ref(14), Of(u, f).Check)
}

// Of a day it counts whether the time in which nothing stood against it was long enough.
func TestSpanOfADay(t *testing.T) {
	for name, c := range map[string]struct {
		ran  int64
		hold int64 // from when
		want []Code
	}{
		"it fits before the hold":      {3 * hour, 11 * hour, []Code{}},
		"to the second":                {11*hour - joined, 11 * hour, []Code{}},
		"a second longer":              {11*hour - joined + 1, 11 * hour, []Code{OnHold}},
		"held from the start":          {60, check, []Code{OnHold}},
		"held until it was joined":     {60, joined, []Code{OnHold}},
		"nobody said how long, a hold": {0, 11 * hour, []Code{}},
		"nobody said, held all day":    {0, check, []Code{OnHold}},
	} {
		u, f := clean()
		u.Kind, u.From, u.Until, u.Ran = Trigger, 0, closed, c.ran
		held := f.Checks[0].Answers[0]
		held.Entry, held.From, held.Hold = 12, c.hold, true
		f.Checks[0].Answers = append(f.Checks[0].Answers, held)
		require.Equal(t, c.want, codes(Of(u, f)), name)
	}
}

// A restriction at ten does not reach back to the morning, and one who joined at three had no time for what is told.
func TestSpanOfAPerson(t *testing.T) {
	u, f := clean()
	u.From, u.Until, u.Ran = 0, closed, 2*hour
	f.Person = append(f.Person, Spell{From: 10 * hour, Oriented: true, Groups: []Held{{Group: "light-brush", Level: training.NoSaw, Restricted: []Skill{{"8.2", 30}}}}})
	require.False(t, Of(u, f).Against())
	u.Ran = 4 * hour
	require.Equal(t, []Reason{{Restricted, 30, "8.2"}}, Of(u, f).Reasons)

	u, f = clean()
	u.From, u.Until, u.Ran = 0, closed, 2*hour
	f.Joins[0].At = 15 * hour
	require.Equal(t, []Code{NoCheck, NotJoined}, codes(Of(u, f)))
}

// Known then and known now are two answers; what was only missing and came later waits for nobody.
func TestThenAndNow(t *testing.T) {
	u, f := clean()
	_, tagged := clean()
	tagged.Downs = []Down{{Entry: 20, From: check, Until: Open}}
	_, unjoined := clean()
	unjoined.Joins = nil
	for name, c := range map[string]struct {
		then, now               Facts
		against, differs, waits bool
	}{
		"nothing":                      {f, f, false, false, false},
		"the same twice":               {tagged, tagged, true, false, true},
		"a tag told later":             {f, tagged, true, true, true},
		"a tag that is gone":           {tagged, f, true, true, true},
		"a join that was entered late": {unjoined, f, true, true, false},
		"a join that was struck":       {f, unjoined, true, true, true},
	} {
		got := Find([]Told{{u, c.then, c.now}})[0]
		require.Equal(t, c.against, got.Against(), name)
		require.Equal(t, c.differs, got.Differs(), name)
		require.Equal(t, c.waits, got.Waits(), name)
	}
}

func TestThoseAgainstComeFirst(t *testing.T) {
	u, f := clean()
	_, held := clean()
	held.Checks[0].Answers[0].Hold = true
	at := func(entry training.Ref, when int64) Use {
		v := u
		v.Entry, v.From, v.Until = entry, when, when
		return v
	}
	var order []training.Ref
	for _, c := range Find([]Told{{at(1, noon), f, f}, {at(2, closed), held, held}, {at(3, 9*hour), f, f}, {at(4, 10*hour), held, held}}) {
		order = append(order, c.Entry)
	}
	require.Equal(t, []training.Ref{4, 2, 3, 1}, order)
}

// Within a span nothing is found that does not stand at some moment of it, and what stands all through it is found whatever else does.
func TestASpanSaysNoMoreThanItsMoments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u, f := clean()
		u.From, u.Until, u.Ran = 0, closed, int64(rapid.IntRange(0, 10*hour).Draw(t, "ran"))
		for i := range rapid.IntRange(0, 3).Draw(t, "downs") {
			from := 60 * int64(rapid.IntRange(0, closed/60).Draw(t, "from"))
			f.Downs = append(f.Downs, Down{Entry: training.Ref(20 + i), From: from, Until: from + 60*int64(rapid.IntRange(1, closed/60).Draw(t, "for"))})
		}
		f.Joins[0].At = 60 * int64(rapid.IntRange(check/60, closed/60).Draw(t, "joined"))
		free, some := int64(0), map[Code]bool{}
		for at := int64(0); at < closed; at += 60 {
			v := u
			v.From, v.Until = at, at
			s := Of(v, f)
			for _, r := range s.Reasons {
				some[r.Code] = true
			}
			if !s.Against() {
				free += 60
			}
		}
		got := Of(u, f)
		for _, r := range got.Reasons {
			require.True(t, some[r.Code], r.Code)
		}
		require.Equal(t, free < max(1, u.Ran), got.Against())
	})
}

func TestCodesAreAllOrdered(t *testing.T) {
	require.Len(t, Codes, 14)
	seen := slices.Clone(Codes)
	slices.Sort(seen)
	require.Len(t, slices.Compact(seen), 14)
}

// The findings that stop a person are those of the check itself: one that it does not know would be told as another reason.
func TestStopsOfAnAssessment(t *testing.T) {
	a := hazards.Assessment{Findings: []hazards.Finding{
		{ID: "unfit", Effect: hazards.StopPerson, Subject: "ben"}, {ID: "thunder", Effect: hazards.StopSite}, {ID: "guard", Effect: hazards.StopSaw, Subject: "S1"},
	}}
	require.Equal(t, []Stop{{"ben", "unfit"}}, StopsOf(a))
}
