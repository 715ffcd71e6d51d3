package ledger

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// keyed is a ledger of the tests: rows of one origin, with what was said of keys in them.
type keyed struct {
	t      testing.TB
	origin string
	start  time.Time
	rows   []Row
}

func newKeyed(t testing.TB, origin string, start string) *keyed {
	return &keyed{t: t, origin: origin, start: at(start)}
}

// add appends an entry, recorded one minute after the last.
func (k *keyed) add(kind, by, worker string, data any, s Signer) *keyed {
	n := int64(len(k.rows) + 1)
	when := k.start.Add(time.Duration(n) * time.Minute)
	k.rows = append(k.rows, encode(k.t, Entry{Origin: k.origin, Seq: n, Kind: kind, By: by, Worker: worker, Happened: when, Recorded: when, Data: data, Signer: s}))
	return k
}

// verdicts checks the rows of ledgers against all that they say of keys, and gives those that cannot be trusted.
func verdicts(t testing.TB, ledgers ...*keyed) (bad []string) {
	t.Helper()
	keys := NewKeys()
	for _, l := range ledgers {
		part := NewKeys()
		for _, r := range slices.Backward(l.rows) { // in any order
			h, err := ReadHeader(r.Body)
			require.NoError(t, err)
			require.NoError(t, part.Take(h))
		}
		keys.Join(part)
	}
	for _, l := range ledgers {
		for _, r := range l.rows {
			h, err := ReadHeader(r.Body)
			require.NoError(t, err)
			if err := keys.Check(h, r.Body, r.Sig); err != nil {
				bad = append(bad, fmt.Sprint(Ref(r.Origin, r.Seq), " ", err))
			}
		}
	}
	return bad
}

type none struct{}

func TestWhoMaySignWhatAndWhen(t *testing.T) {
	olive, oliveKey := testKey(t, "polive", 1)
	ana, anaKey := testKey(t, "pana", 2)
	firm, firmKey := testKey(t, "company", 3)
	late, lateKey := testKey(t, "polive", 9)
	began := func() *keyed {
		return newKeyed(t, "north", "2026-05-04T08:00:00Z").
			add(KindKey, "polive", "polive", Key{Verifier: oliveKey}, olive).
			add(KindKey, "pana", "pana", Key{Verifier: anaKey}, ana).
			add(KindKey, "polive", "", Key{Verifier: firmKey}, firm)
	}
	require.Empty(t, verdicts(t, began()))
	for _, c := range []struct {
		name string
		add  func(k *keyed)
		want []string
	}{
		{"a decision, unsigned and signed", func(k *keyed) {
			k.add("sign-off", "polive", "pana", none{}, nil).add("sign-off", "polive", "pana", none{}, olive)
		}, nil},
		{"with another's key", func(k *keyed) { k.add("sign-off", "polive", "pana", none{}, ana) },
			[]string{"north#4 recorded by polive, but signed with key " + ana.Name() + " of pana"}},
		{"before the key was announced", func(k *keyed) {
			k.add("sign-off", "polive", "pana", none{}, late).add(KindKey, "polive", "polive", Key{Verifier: lateKey}, late)
		}, []string{"north#4 signed with key " + late.Name() + " before entry north#5 announced that key"}},
		{"before and after its end", func(k *keyed) {
			k.add("sign-off", "polive", "pana", none{}, olive).add(KindKeyEnd, "pana", "polive", KeyEnd{Key: olive.Name()}, nil).add("lift", "polive", "pana", none{}, olive)
		}, []string{"north#6 signed with key " + olive.Name() + " after entry north#5 ended that key"}},
		{"with a key that nobody announced", func(k *keyed) {
			k.add("release", "polive", "pana", none{}, late)
		}, []string{"north#4 signed with key " + late.Name() + ", which no entry announces"}},
		{"a decision with the company's key", func(k *keyed) { k.add("sign-off", "polive", "pana", none{}, firm) },
			[]string{"north#4 signed with the company's key " + firm.Name() + ", which signs no sign-off entry"}},
		{"the company vouches and ends", func(k *keyed) {
			k.add(KindRoster, "polive", "pana", Roster{Key: ana.Name()}, firm).add(KindKeyEnd, "polive", "pana", KeyEnd{Key: ana.Name()}, firm)
		}, nil},
		{"somebody else vouches", func(k *keyed) { k.add(KindRoster, "polive", "pana", Roster{Key: ana.Name()}, olive) },
			[]string{"north#4 signed with key " + olive.Name() + ", which is not the company's"}},
		{"nobody vouches", func(k *keyed) { k.add(KindRoster, "polive", "pana", Roster{Key: ana.Name()}, nil) },
			[]string{"north#4 it is not signed, and a roster entry counts only when it is"}},
		{"a key announced by another one", func(k *keyed) {
			k.add(KindKey, "polive", "polive", Key{Verifier: lateKey}, olive)
		}, []string{"north#4 it announces a key, but is not signed with that key for the first time"}},
		{"a key announced twice", func(k *keyed) { k.add(KindKey, "polive", "polive", Key{Verifier: oliveKey}, olive) },
			[]string{"north#4 it announces a key, but is not signed with that key for the first time"}},
		{"a signature gone", func(k *keyed) { k.add("lift", "polive", "pana", none{}, olive).rows[3].Sig = nil },
			[]string{"north#4 signed with key " + olive.Name() + ", but the signature is missing"}},
		{"a signature put beside", func(k *keyed) { k.add("lift", "polive", "pana", none{}, nil).rows[3].Sig = k.rows[0].Sig },
			[]string{"north#4 a signature stands beside it, but it names no key"}},
		{"the signature of another entry", func(k *keyed) { k.add("lift", "polive", "pana", none{}, olive).rows[3].Sig = k.rows[0].Sig },
			[]string{"north#4 signed with key " + olive.Name() + ", but its signature does not fit its bytes"}},
		{"the signature of another key", func(k *keyed) { k.add("lift", "polive", "pana", none{}, olive).rows[3].Sig = k.rows[1].Sig },
			[]string{"north#4 signed with key " + olive.Name() + ", but its signature is not of the key it names"}},
		{"no signature", func(k *keyed) { k.add("lift", "polive", "pana", none{}, olive).rows[3].Sig = []byte("Olive") },
			[]string{"north#4 signed with key " + olive.Name() + ", but what stands in place of its signature is none"}},
	} {
		k := began()
		c.add(k)
		require.Equal(t, c.want, verdicts(t, k), c.name)
	}
}

// Between devices only clocks tell what came first.
func TestKeysOfSeveralDevices(t *testing.T) {
	olive, oliveKey := testKey(t, "polive", 1)
	home := newKeyed(t, "north", "2026-05-04T08:00:00Z").add(KindKey, "polive", "polive", Key{Verifier: oliveKey}, olive).
		add(KindKeyEnd, "polive", "polive", KeyEnd{Key: olive.Name()}, nil) // 08:02
	before := newKeyed(t, "truck", "2026-05-04T08:00:30Z").add("lift", "polive", "pana", none{}, olive) // 08:01:30
	require.Empty(t, verdicts(t, home, before))
	after := newKeyed(t, "truck", "2026-05-04T09:00:00Z").add("lift", "polive", "pana", none{}, olive)
	require.Equal(t, []string{"truck#1 signed with key " + olive.Name() + " after entry north#2 ended that key"}, verdicts(t, home, after))
}

// However books were joined, the same of several announcements and ends counts.
func TestKeysTakenInAnyOrderAreTheSame(t *testing.T) {
	_, verifier := testKey(t, "polive", 1)
	rapid.Check(t, func(t *rapid.T) {
		var hs []Header
		for i := range rapid.IntRange(1, 8).Draw(t, "entries") {
			e := Entry{Origin: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "origin"), Seq: int64(i + 1), Kind: KindKey, Happened: at("2026-05-04T08:00:00Z"),
				Recorded: at("2026-05-04T08:00:00Z").Add(time.Duration(rapid.IntRange(0, 2).Draw(t, "minute")) * time.Minute), Data: Key{Verifier: verifier}}
			if rapid.Bool().Draw(t, "end") {
				e.Kind, e.Data = KindKeyEnd, KeyEnd{Key: "polive/x"}
			}
			r, err := Encode(e)
			require.NoError(t, err)
			h, err := ReadHeader(r.Body)
			require.NoError(t, err)
			hs = append(hs, h)
		}
		whole, parts, other := NewKeys(), NewKeys(), NewKeys()
		for i, h := range hs {
			require.NoError(t, whole.Take(h))
			require.NoError(t, []*Keys{parts, other}[i%2].Take(hs[len(hs)-1-i]))
		}
		parts.Join(other)
		require.Equal(t, whole.ended, parts.ended)
		require.Equal(t, len(whole.known), len(parts.known))
		for name, k := range whole.known {
			require.Equal(t, k.Made, parts.known[name].Made)
		}
	})
}

func TestAKeyThatIsNoneIsNotTaken(t *testing.T) {
	r := encode(t, Entry{Origin: "a", Seq: 1, Kind: KindKey, Happened: at("2026-05-04T08:00:00Z"), Recorded: at("2026-05-04T08:00:00Z"), Data: Key{Verifier: "olive"}})
	h, err := ReadHeader(r.Body)
	require.NoError(t, err)
	require.ErrorContains(t, NewKeys().Take(h), "it announces a key that is none")
}
