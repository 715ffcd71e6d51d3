package hazards

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/risk"
)

// lineAsked is a question that a close call on block B7 asks from the afternoon of 3 May on.
var lineAsked = EventQuestion{Event: "13", Kind: "close-call", Block: "B7", From: "2026-05-03 13:50", Question: "Is the marked line two stems away?"}

// askedSheet is the easy morning as written with the question, answered so.
func askedSheet(t testing.TB, answer string) string {
	text := string(WriteSheet(easyMorning(t).Sheet, Hints{Asks: []EventQuestion{lineAsked}}))
	require.Contains(t, text, "\n  # Is the marked line two stems away? [close call of 2026-05-03, entry 13]\n  event-13:\n")
	return strings.Replace(text, "  event-13:\n", "  event-13: "+answer+"\n", 1)
}

func TestQuestionOfAnEventIsAnsweredLikeAnyOther(t *testing.T) {
	for answer, want := range map[string]Said{
		"yes": {Is: Yes}, "no": {Is: No}, "n/a": {Is: NotApplicable}, "don't know yet - luis by 07:30": dontKnow, "no - rosa at 06:30": {Is: No, Who: "rosa", At: "06:30"},
	} {
		s, err := ParseSheet("day.yaml", []byte(askedSheet(t, answer)), lineAsked)
		require.NoError(t, err, answer)
		require.Equal(t, []EventAnswer{{"13", lineAsked.Question, "close call of 2026-05-03, entry 13", want}}, s.Events)
	}
	for answer, want := range map[string]string{
		"":                   "event-13 is blank: Is the marked line two stems away?",
		"perhaps":            `event-13: "perhaps" is no answer; write yes, no, not applicable, or don't know yet - NAME by 07:30`,
		"don't know yet":     "event-13: don't know yet needs who finds out and by when",
		"[yes]":              "event-13: write one answer, not a list",
		"no\n  event-14: no": `asked: "event-14" is not known; did you mean event-13?`,
		"no\n  event-13: no": "asked: event-13 stands twice",
	} {
		_, err := ParseSheet("day.yaml", []byte(askedSheet(t, answer)), lineAsked)
		require.ErrorContains(t, err, want, answer)
		require.Regexp(t, `^day\.yaml:\d+: `, err.Error())
	}
}

// A sheet without the line is refused together with all else that is wrong with it.
func TestQuestionOfAnEventCannotBeLeftOut(t *testing.T) {
	bare := strings.Replace(filled(t), "  wires: no\n", "", 1)
	_, err := ParseSheet("day.yaml", []byte(bare), lineAsked)
	require.ErrorContains(t, err, "event-13 is blank: Is the marked line two stems away? (write event-13: and the answer under asked:)")
	require.ErrorContains(t, err, "wires is blank")
	in := easyMorning(t)
	require.NoError(t, Check(in))
	in.Asks = []EventQuestion{lineAsked}
	require.ErrorContains(t, Check(in), "event-13 is blank: Is the marked line two stems away? (close call of 2026-05-03, entry 13)")
	in.Sheet.Events = []EventAnswer{{Event: "13", Said: Said{Is: No}}}
	require.NoError(t, Check(in))
}

func TestWhichSheetsAnEventAsks(t *testing.T) {
	s := easyMorning(t).Sheet // block B7, 2026-05-04 06:52
	other, closed, later, everywhere := lineAsked, lineAsked, lineAsked, lineAsked
	other.Block, closed.Closed, later.From, everywhere.Block = "B8", true, "2026-05-04 06:53", ""
	for _, c := range []struct {
		name string
		e    EventQuestion
		want bool
	}{{"its block", lineAsked, true}, {"another block", other, false}, {"closed", closed, false}, {"before the event", later, false}, {"no block named", everywhere, true}} {
		require.Equal(t, c.want, c.e.On(s), c.name)
		_, err := ParseSheet("day.yaml", []byte(filled(t)), c.e)
		require.Equal(t, c.want, err != nil, c.name)
	}
	kept, err := ParseSheet("day.yaml", []byte(askedSheet(t, "")), closed)
	require.NoError(t, err, "a blank is no fault once the event is closed")
	require.Empty(t, kept.Events)
	kept, err = ParseSheet("day.yaml", []byte(askedSheet(t, "yes")), closed)
	require.NoError(t, err)
	require.Len(t, kept.Events, 1)
	_, err = ParseSheet("day.yaml", []byte(askedSheet(t, "yes")))
	require.NoError(t, err, "no book told: what stands there is taken")
	_, err = ParseSheet("day.yaml", []byte(askedSheet(t, "yes")), []EventQuestion{}...)
	require.ErrorContains(t, err, `asked: "event-13" is not known`, "a book whose events ask nothing")
}

func TestAnswersToEventsAreNeverCarriedForward(t *testing.T) {
	last := easyMorning(t).Sheet
	last.Day, last.Events = "2026-05-03", []EventAnswer{{Event: "13", Question: lineAsked.Question, Said: Said{Is: Yes}}}
	text := string(WriteSheet(Sheet{Block: "B7", BlockEdition: 3, Day: "2026-05-04"}, Hints{Last: &last, Asks: []EventQuestion{lineAsked}}))
	require.Contains(t, text, "\n  event-13:\n")
	require.Equal(t, 1, strings.Count(text, "event-13"))
	require.NotContains(t, string(WriteSheet(Sheet{Block: "B7", BlockEdition: 3}, Hints{Last: &last})), "asked:")
}

// No, and what nobody knows yet, needs a control with an owner before it is more than a hold; yes and not applicable ask for nothing.
func TestWhatWasAskedAndIsNotDoneNeedsAControl(t *testing.T) {
	for _, e := range []EventAnswer{
		{Event: "13", Question: lineAsked.Question, About: lineAsked.About()},
		{Event: "action-14", Question: DoneQuestion("flag the bent stems"), About: "action of {p2}, due 2026-05-06, entry 14"},
		{Event: "tomorrow-15.1", Question: DoneQuestion("flag the rock"), About: "told at the end of 2026-05-03, entry 15"},
	} {
		in, key := easyMorning(t), AskKey(e.Event)
		want := Assess(in).Answer
		require.NotEqual(t, Hold, want)
		for is, needs := range map[string]bool{Yes: false, NotApplicable: false, No: true, DontKnow: true} {
			e.Said = Said{Is: is}
			if is == DontKnow {
				e.Said = dontKnow
			}
			in.Sheet.Events, in.Sheet.Controls = []EventAnswer{e}, nil
			a := Assess(in)
			f := oneFinding(t, a, key)
			require.Equal(t, needs, f.Effect == StopSite && f.Means == NotYet, "%s %s: not yet, until somebody is named", key, is)
			require.NotEmpty(t, f.Ends)
			if !needs {
				require.Equal(t, Watch, f.Effect)
				require.Equal(t, want, a.Answer)
				continue
			}
			require.Equal(t, Hold, a.Answer, "%s %s, nobody named", key, is)
			in.Sheet.AcceptedBy = in.Sheet.By
			in.Sheet.Controls = []Control{{For: key, Kind: risk.Organised, What: "before the first cut", Owner: "luis"}}
			a = Assess(in)
			require.Equal(t, GoWithControls, a.Answer, "%s %s, somebody named", key, is)
			require.NotEmpty(t, oneFinding(t, a, key).Controls)
		}
	}
}

func TestAnswersToEventsSayWhoAndWhen(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.Events = []EventAnswer{{"13", lineAsked.Question, lineAsked.About(), Said{Is: No, Who: "rosa", At: "06:30"}}}
	f := oneFinding(t, Assess(in), "event-13")
	require.Equal(t, "Asked because of an event (close call of 2026-05-03, entry 13): Is the marked line two stems away? Answer: no, {p3} at 06:30. Nobody is named for \"Is the marked line two stems away?\"; say what is done and who sees to it.", f.What)
	in.Sheet.Events[0].Said = dontKnow
	a := Assess(in)
	require.Contains(t, oneFinding(t, a, "event-13").What, "Answer: not known yet; {p2} finds out by 07:30.")
	require.Equal(t, []Open{{"event-13", "p2", "07:30"}}, a.Open)
}

// The name on the sheet says what asks, and back.
func TestAskKeys(t *testing.T) {
	for event, key := range map[string]string{"13": "event-13", "o/l-1#13": "event-o/l-1#13", "action-14": "action-14", "tomorrow-o/l#15.2": "tomorrow-o/l#15.2"} {
		require.Equal(t, key, AskKey(event))
		back, ok := AskedIn(key)
		require.True(t, ok)
		require.Equal(t, event, back)
	}
	for _, none := range []string{"event-", "action-", "tomorrow-", "wires", ""} {
		_, ok := AskedIn(none)
		require.False(t, ok, none)
	}
	long := DoneQuestion(strings.Repeat("é", 400))
	require.NoError(t, CheckQuestion(long))
	require.Equal(t, "Is this done: flag the rock?", DoneQuestion(" flag the\nrock. "))
	require.Equal(t, "action of luis, due 2026-05-06, entry 14", EventQuestion{Event: "action-14", Owner: "luis", Due: "2026-05-06"}.About())
	require.Equal(t, "told at the end of 2026-05-03, entry 15.1", EventQuestion{Event: "tomorrow-15.1", From: "2026-05-03 16:00"}.About())
}

func TestEventAnswersGoThroughPeopleAndChanges(t *testing.T) {
	before := easyMorning(t).Sheet
	before.Events = []EventAnswer{{Event: "13", Said: dontKnow}}
	require.Equal(t, "P", before.WithPeople(func(string) string { return "P" }).Events[0].Who)
	require.Equal(t, "luis", before.Events[0].Who, "the sheet itself is not changed")
	after := before
	after.Events = []EventAnswer{{Event: "13", Said: Said{Is: Yes}}}
	require.Equal(t, []string{"question of event 13: don't know yet - luis by 07:30, now yes"}, Changed(before, after))
}

// What is written of answers to events is read back, whatever the book calls its entries.
func TestEventAnswersWriteThenParseIsIdentity(t *testing.T) {
	base := easyMorning(t).Sheet
	rapid.Check(t, func(t *rapid.T) {
		s := base
		s.Events = nil
		for range rapid.IntRange(1, 3).Draw(t, "events") {
			e := EventAnswer{Event: rapid.StringMatching(`(action-|tomorrow-)?[a-z0-9]{1,8}(#[0-9]{1,4})?`).Draw(t, "event"), Said: drawSaid(t, Question{Kind: YesNo, NA: true})}
			if !hasEvent(s.Events, e.Event) {
				s.Events = append(s.Events, e)
			}
		}
		got, err := ParseSheet("day.yaml", WriteSheet(s, Hints{}))
		require.NoError(t, err)
		require.Equal(t, s.Events, got.Events)
	})
}

// Who finds out during the day answers with a change.
func TestAChangeAnswersTheQuestionOfAnEvent(t *testing.T) {
	s := easyMorning(t).Sheet
	s.Events = []EventAnswer{{Event: "13", Question: lineAsked.Question, Said: dontKnow}}
	a, err := ParseAnswer("event-13", "no - luis at 07:20")
	require.NoError(t, err)
	after, err := s.After(Change{At: "07:20", By: "luis", Answers: []Answer{a}})
	require.NoError(t, err)
	require.Equal(t, EventAnswer{Event: "13", Question: lineAsked.Question, Said: Said{Is: No, Who: "luis", At: "07:20"}}, after.Events[0])
	require.Equal(t, dontKnow, s.Events[0].Said, "the sheet itself is not changed")
	_, err = s.After(Change{At: "07:20", By: "luis", Answers: []Answer{{"event-14", Said{Is: Yes}}}})
	require.ErrorContains(t, err, "event-14 is not on the sheet")
	for _, bad := range []struct{ question, answer string }{{"event-13", "perhaps"}, {"event-13", ""}, {"event-", "yes"}} {
		_, err = ParseAnswer(bad.question, bad.answer)
		require.Error(t, err, bad)
	}
}

func TestCheckQuestion(t *testing.T) {
	require.NoError(t, CheckQuestion("Is the marked line two stems away?"))
	require.ErrorContains(t, CheckQuestion(" "), "the question is empty")
	require.ErrorContains(t, CheckQuestion("two\nlines"), "more than one line")
	require.ErrorContains(t, CheckQuestion(strings.Repeat("x", maxText+1)), "501 letters; at most 500")
}

func TestASawWithoutAnIDReadsWell(t *testing.T) {
	bad := strings.NewReplacer("{id: S11, tagged: no", "{id: , tagged: ").Replace(filled(t))
	_, err := ParseSheet("day.yaml", []byte(bad))
	require.ErrorContains(t, err, "saws: id is blank: which saw is it?")
	require.ErrorContains(t, err, "saw without an id, tagged is blank: tagged out?")
}
