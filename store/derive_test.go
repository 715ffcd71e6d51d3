package store

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// derivedOf gives the facts of an entry as "subject topic kind code until cites", and the strike if there is one.
func derivedOf(t *testing.T, e ledger.Entry) []string {
	t.Helper()
	e.Origin, e.Seq, e.Recorded, e.Happened, e.By = own, 9, minute(9), minute(3), ada
	row, err := ledger.Encode(e)
	require.NoError(t, err)
	h, err := ledger.ReadHeader(row.Body)
	require.NoError(t, err)
	d, err := deriver{zone(t), newRefs([]string{own})}.derive(h)
	require.NoError(t, err)
	var out []string
	for _, p := range d.facts {
		require.Equal(t, training.Ref(1<<seqBits|9), p.fact.Entry)
		require.Equal(t, minute(3).Unix(), p.fact.At)
		require.Equal(t, minute(9).Unix(), p.fact.Recorded)
		require.Equal(t, "2026-05-04", p.fact.Day.String())
		require.Equal(t, fingerprint(ada), p.fact.By)
		until := "-"
		if p.fact.Until != civil.None {
			until = p.fact.Until.String()
		}
		out = append(out, fmt.Sprintf("%q %s %d %d %s %v", p.subject, p.topic, p.fact.Kind, p.fact.Code, until, refsOf(cited(p.fact))))
	}
	if d.strike != nil {
		out = append(out, fmt.Sprint("strikes ", refsOf(cited(training.Fact{Cites: []training.Ref{d.strike.entry}}))))
	}
	return out
}

func cited(f training.Fact) (facts []training.Fact) {
	for _, c := range f.Cites {
		facts = append(facts, training.Fact{Entry: c})
	}
	return facts
}

func TestEveryKindGivesItsFacts(t *testing.T) {
	about := func(kind, skill string, data any) ledger.Entry {
		return ledger.Entry{Kind: kind, Worker: bo, Skill: skill, Data: data}
	}
	for _, c := range []struct {
		entry  ledger.Entry
		expect []string
	}{
		{opening(), []string{`"" book 0 0 - []`}},
		{ledger.Entry{Kind: KindHouse, Data: map[string]any{"edition": "1"}}, []string{`"" house 0 0 - []`}},
		{ledger.Entry{Kind: KindBlock, Data: map[string]any{"id": "B7"}}, []string{`"" block 0 0 - []`, `"block/B7" block 0 0 - []`}},
		{ledger.Entry{Kind: KindTailgate, Data: map[string]any{"block": "B7"}}, []string{`"block/B7" tailgate 0 0 - []`}},
		{ledger.Entry{Kind: KindStrike, Data: Strike{Entry: own + "#4", Reason: "r"}}, []string{`"" strike 0 0 - []`, "strikes [4]"}},
		{hired(t, person(bo, "Bo Example", "bo")), []string{`"p2222222" worker 0 0 - []`, `"" worker 0 0 - []`}},
		{about(training.KindLeave, "", training.Leave{From: "2026-06-01"}), []string{`"p2222222" leave 0 0 - []`, `"" leave 0 0 - []`}},
		{about(training.KindAppointment, "", training.Appointment{Duties: []string{training.DutySign}}), []string{`"p2222222" appointment 0 0 - []`, `"" appointment 0 0 - []`}},
		{taught(bo, "m1"), []string{`"p2222222" m1 1 0 - []`}},
		{about(training.KindCredit, "", training.Credit{Module: "m2"}), []string{`"p2222222" m2 2 0 - []`}},
		{looked(bo, limb, training.OutcomeMet), []string{`"p2222222" limbing 3 4 - []`}},
		{looked(bo, limb, training.CriticalMissed), []string{`"p2222222" limbing 3 17 - []`}}, // announced: 16 + 1
		{signed(bo, limb, own+"#5", own+"#7"), []string{`"p2222222" limbing 4 0 2027-05-04 [5 7]`}},
		{about(training.KindWithdrawal, limb, training.Withdrawal{Reason: "r"}), []string{`"p2222222" limbing 5 0 - []`}},
		{stopped(bo, limb), []string{`"p2222222" limbing 6 0 - []`}},
		{about(training.KindLift, limb, training.Lift{Observation: own + "#8"}), []string{`"p2222222" limbing 7 0 - [8]`}},
		{about(training.KindRelease, "", training.Release{Group: "thin", Level: training.NoSaw, Until: "2026-06-15"}), []string{`"p2222222" release/thin 8 1 2026-06-15 []`}},
		{about(training.KindIssue, "", map[string]any{"item": "helmet"}), []string{`"p2222222" ppe-issue 0 0 - []`, `"" ppe-issue 0 0 - []`}},
		{about(training.KindReturn, "", map[string]any{"item": "helmet"}), []string{`"p2222222" ppe-return 0 0 - []`, `"" ppe-return 0 0 - []`}},
		{about(KindJoin, "", Join{Tailgate: own + "#8", Block: "B7", Saw: "S3", Group: "thin"}), []string{`"p2222222" use/thin 9 0 - []`, `"tailgate/north/truck-1#8" join 9 0 - []`, `"saw-month/2026-05/S3" saw-use 0 0 - []`}},
		{about(KindJoin, "", Join{Tailgate: own + "#8", Block: "B7"}), []string{`"p2222222" join 0 0 - []`, `"tailgate/north/truck-1#8" join 0 0 - []`}},
		{ledger.Entry{Kind: KindJoin, Data: Join{Tailgate: own + "#8", Visitor: "a forester"}}, []string{`"tailgate/north/truck-1#8" join 0 0 - []`}},
		{ledger.Entry{Kind: KindChange, Data: map[string]any{"tailgate": own + "#8", "block": "B7"}}, []string{`"tailgate/north/truck-1#8" change 0 0 - []`}},
		{ledger.Entry{Kind: KindClose, Data: map[string]any{"tailgate": own + "#8", "block": "B7"}}, []string{`"tailgate/north/truck-1#8" close 0 0 - []`, `"block/B7" close 0 0 - []`}},
		{about(KindCheckIn, "", CheckIn{Tailgate: own + "#8", Block: "B7", Missed: true}), []string{`"p2222222" checkin 0 0 - []`, `"tailgate/north/truck-1#8" checkin 0 0 - []`}},
		{about(KindExposure, "", map[string]any{"tailgate": own + "#8", "saw": "S3"}), []string{`"p2222222" exposure 0 0 - []`, `"tailgate/north/truck-1#8" exposure 0 0 - []`}},
		{ledger.Entry{Kind: KindFireDay, Data: map[string]any{"station": "road station"}}, []string{`"fire/road station" fire-day 0 0 - []`}},
		{about(ledger.KindKey, "", ledger.Key{Verifier: "p2222222/1+00000000+AA=="}), []string{`"p2222222" key 0 0 - []`, `"" key 0 0 - []`}},
		{about(ledger.KindRoster, "", ledger.Roster{Key: "p2222222/1"}), []string{`"p2222222" roster 0 0 - []`, `"" roster 0 0 - []`}},
		{about(ledger.KindKeyEnd, "", ledger.KeyEnd{Key: "p2222222/1"}), []string{`"p2222222" key-end 0 0 - []`, `"" key-end 0 0 - []`}},
		{ledger.Entry{Kind: ledger.KindKey, Data: ledger.Key{}}, []string{`"" key 0 0 - []`}}, // the company's
		{about("of a later version", "", map[string]any{"x": 1}), []string{`"p2222222" of a later version 0 0 - []`}},
	} {
		require.Equal(t, c.expect, derivedOf(t, c.entry), c.entry.Kind)
	}
}

// Whatever stands in the data of an entry, deriving from it gives facts or an error.
func FuzzDerive(f *testing.F) {
	for _, e := range []ledger.Entry{looked(bo, limb, training.OutcomeMet), signed(bo, limb, own+"#5"), struckOut(own + "#4"), opening()} {
		data, err := json.Marshal(e.Data)
		require.NoError(f, err)
		f.Add(e.Kind, data)
	}
	f.Fuzz(func(t *testing.T, kind string, data []byte) {
		h := ledger.Header{Kind: kind, Data: data, Origin: own, Seq: 1, Worker: bo, Skill: limb, Happened: morning, Recorded: morning}
		d, err := deriver{zone(t), newRefs([]string{own})}.derive(h)
		if err == nil && len(d.facts) == 0 {
			t.Fatalf("%s leaves no trace", kind)
		}
	})
}
