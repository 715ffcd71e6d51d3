package ledger

import (
	"fmt"
	"slices"
	"time"

	"golang.org/x/mod/sumdb/note"
)

// Kinds of entries about keys. Everything that a signature is checked against stands in the ledger itself.
const (
	KindKey    = "key"     // announces a key; signed with that key
	KindKeyEnd = "key-end" // ends one; signatures made before stay valid
	KindRoster = "roster"  // the company's statement whose key it is and for what; signed with the company's key
)

// Key announces a key. It belongs to the worker the entry is about, or to the company if it is about nobody.
type Key struct {
	Verifier string `json:"verifier"` // verifier key of a note: NAME+ID+BASE64
	Basis    string `json:"basis"`    // on whose word it is theirs
}

// KeyEnd ends a key.
type KeyEnd struct {
	Key    string `json:"key"`
	From   string `json:"from"` // first day on which nothing signed with it is to be believed, as far as is known
	Reason string `json:"reason"`
}

// Roster says whose key it is, for which duties, from when and until when ("" = open).
type Roster struct {
	Key      string   `json:"key"`
	Verifier string   `json:"verifier"` // the key itself, since a name alone could be made again; "" in the first books
	Duties   []string `json:"duties"`
	From     string   `json:"from"`
	Until    string   `json:"until"` // first day no longer
	Basis    string   `json:"basis"` // how the fingerprint was compared
}

// NeedsSignature reports whether entries of a kind count only when signed.
func NeedsSignature(kind string) bool { return kind == KindKey || kind == KindRoster }

// companySigns are the kinds that the company's key may sign.
var companySigns = []string{KindKey, KindKeyEnd, KindRoster}

// Place is where an entry stands.
type Place struct {
	Origin   string
	Seq      int64
	Recorded time.Time
}

// PlaceOf gives the place of an entry.
func PlaceOf(h Header) Place { return Place{h.Origin, h.Seq, h.Recorded} }

// before reports whether p came before q. Between devices only their clocks tell.
func (p Place) before(q Place) bool {
	if p.Origin == q.Origin {
		return p.Seq < q.Seq
	}
	return p.Recorded.Before(q.Recorded)
}

// first orders places for all devices alike, so that the same of several counts however books were joined.
func (p Place) first(q Place) bool {
	if !p.Recorded.Equal(q.Recorded) {
		return p.Recorded.Before(q.Recorded)
	}
	return p.Origin < q.Origin || p.Origin == q.Origin && p.Seq < q.Seq
}

// KnownKey is a key as the ledgers announce it.
type KnownKey struct {
	Name     string
	Verifier string
	Person   string // "" = the company's
	Made     Place
	verify   note.Verifier
}

// Keys are all keys that the ledgers of a book announce, and where they ended. Entries may be taken in any order.
type Keys struct {
	known map[string]KnownKey
	ended map[string]Place
}

// NewKeys knows no key yet.
func NewKeys() *Keys { return &Keys{map[string]KnownKey{}, map[string]Place{}} }

// Take learns from an entry; entries of other kinds teach nothing. Of several that announce a key of one name, or
// end one, the first counts.
func (k *Keys) Take(h Header) error {
	switch h.Kind {
	case KindKey:
		v, err := note.NewVerifier(Text(Lookup(h.Data, "verifier")))
		if err != nil {
			return fmt.Errorf("it announces a key that is none: %w", err)
		}
		k.announce(KnownKey{v.Name(), Text(Lookup(h.Data, "verifier")), h.Worker, PlaceOf(h), v})
	case KindKeyEnd:
		k.end(Text(Lookup(h.Data, "key")), PlaceOf(h))
	}
	return nil
}

func (k *Keys) announce(one KnownKey) {
	if old, ok := k.known[one.Name]; !ok || one.Made.first(old.Made) {
		k.known[one.Name] = one
	}
}

func (k *Keys) end(name string, at Place) {
	if old, ok := k.ended[name]; !ok || at.first(old) {
		k.ended[name] = at
	}
}

// Join adds what others know.
func (k *Keys) Join(o *Keys) {
	for _, one := range o.known {
		k.announce(one)
	}
	for name, at := range o.ended {
		k.end(name, at)
	}
}

// Key finds a key by name.
func (k *Keys) Key(name string) (one KnownKey, ok bool) {
	one, ok = k.known[name]
	return one, ok
}

// Ended tells where a key ended.
func (k *Keys) Ended(name string) (at Place, ok bool) {
	at, ok = k.ended[name]
	return at, ok
}

// Unsigned finds the key of whoever recorded an unsigned entry, if one was in force in that ledger when it was recorded: announced there
// before it, and not ended there before it. Of other devices nobody can tell whether they had the key.
func (k *Keys) Unsigned(h Header) (name string, found bool) {
	if h.Key != "" || h.By == "" {
		return "", false
	}
	at := PlaceOf(h)
	for _, one := range k.known {
		ended, over := k.ended[one.Name]
		if one.Person == h.By && one.Made.Origin == at.Origin && one.Made.Seq < at.Seq && !(over && ended.before(at)) && (!found || one.Name < name) {
			name, found = one.Name, true
		}
	}
	return name, found
}

// All lists the keys in the order in which they were announced.
func (k *Keys) All() []KnownKey {
	var all []KnownKey
	for _, one := range k.known {
		all = append(all, one)
	}
	slices.SortFunc(all, func(a, b KnownKey) int {
		if a.Made.first(b.Made) {
			return -1
		}
		return 1
	})
	return all
}

// Check says why the signature of an entry cannot be trusted, or nil. body is the entry's bytes and h what was read
// from them.
func (k *Keys) Check(h Header, body, sig []byte) error {
	switch {
	case h.Key == "" && len(sig) > 0:
		return fmt.Errorf("a signature stands beside it, but it names no key")
	case h.Key == "" && NeedsSignature(h.Kind):
		return fmt.Errorf("it is not signed, and a %s entry counts only when it is", h.Kind)
	case h.Key == "":
		return nil
	case len(sig) == 0:
		return missingSignature(h)
	}
	key, ok := k.known[h.Key]
	if !ok {
		return fmt.Errorf("signed with key %s, which no entry announces", h.Key)
	}
	if err := CheckSignature(body, sig, key.verify); err != nil {
		return fmt.Errorf("signed with key %s, but %w", h.Key, err)
	}
	return k.rightful(h, key)
}

func missingSignature(h Header) error {
	return fmt.Errorf("signed with key %s, but the signature is missing", h.Key)
}

// rightful checks that a sound signature is by who may have made it, at a time when the key was in force.
func (k *Keys) rightful(h Header, key KnownKey) error {
	at := PlaceOf(h)
	ended, over := k.ended[h.Key]
	switch {
	case key.Person == "" && !slices.Contains(companySigns, h.Kind):
		return fmt.Errorf("signed with the company's key %s, which signs no %s entry", h.Key, h.Kind)
	case key.Person != "" && h.Kind == KindRoster:
		return fmt.Errorf("signed with key %s, which is not the company's", h.Key)
	case key.Person != "" && key.Person != h.By:
		return fmt.Errorf("recorded by %s, but signed with key %s of %s", h.By, h.Key, key.Person)
	case at.before(key.Made):
		return fmt.Errorf("signed with key %s before entry %s announced that key", h.Key, Ref(key.Made.Origin, key.Made.Seq))
	case over && ended.before(at):
		return fmt.Errorf("signed with key %s after entry %s ended that key", h.Key, Ref(ended.Origin, ended.Seq))
	case h.Kind == KindKey && (at != key.Made || Text(Lookup(h.Data, "verifier")) != key.Verifier):
		return fmt.Errorf("it announces a key, but is not signed with that key for the first time")
	}
	return nil
}
