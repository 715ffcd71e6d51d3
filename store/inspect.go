package store

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"slices"
	"sort"

	"golang.org/x/mod/sumdb/note"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// inspected is what was seen of one ledger of the file.
type inspected struct {
	ledger.CarriedLedger
	known  ledger.Leaves // what the book has of it
	leaves ledger.Leaves // what the file has of it
	first  string        // the key that the ledger itself names first
	wrong  error         // what is wrong with an entry, if the file is what was sealed
}

// inspection checks a carried file against the book, before anything is written.
type inspection struct {
	b           *Book
	ctx         context.Context
	carry       ledger.CarryHeader
	ledgers     map[string]*inspected
	commitments map[string]string // by person id, as worker entries of the file say
	contacts    map[string]string // likewise; "" where an older entry commits to none
	origins     map[string]string // by person id, the ledger of that worker entry
	forgotten   map[string]bool
	seen        []Sighting    // what entries of the file say of the heads of ledgers
	vouched     []ledger.Head // heads that the opening of another ledger names
	keys        *ledger.Keys
	signed      []signedRow
}

type signedRow struct {
	ref, key  string
	body, sig []byte
}

func (i *inspection) header(h ledger.CarryHeader) error {
	i.carry = h
	for _, l := range h.Ledgers {
		known, err := i.b.Leaves(i.ctx, l.Origin, 0)
		if err != nil {
			return err
		}
		if l.Origin == i.b.origin && l.Size > int64(len(known)) {
			return refused("go on under a name of its own: ringtrue book restore, on a path of its own, from this book's newest backup; then take the file there",
				"the file holds %d entries of this device's own ledger %s, the book only %d: this book is an older copy, and what it writes now would be a second version of that ledger", l.Size, l.Origin, len(known))
		}
		i.ledgers[l.Origin] = &inspected{CarriedLedger: l, known: known}
	}
	return nil
}

func (i *inspection) entry(r ledger.Row, h ledger.Header) error {
	l := i.ledgers[r.Origin]
	l.leaves = append(l.leaves, r.Leaf)
	if l.wrong != nil {
		return nil
	}
	if r.Seq <= int64(len(l.known)) && l.known[r.Seq-1] != r.Leaf {
		l.wrong = forked(r)
		return nil
	}
	if !kinds[h.Kind] {
		l.wrong = refused("install that version on this device, then take the file again",
			"entry %s is of the kind %q, which this version does not know: it needs ringtrue %s or later", ledger.Ref(r.Origin, r.Seq), h.Kind, i.carry.Tool)
		return nil
	}
	if err := i.keys.Take(h); err != nil {
		return fmt.Errorf("entry %s: %w", ledger.Ref(r.Origin, r.Seq), err)
	}
	if h.Key != "" && r.Seq > int64(len(l.known)) {
		i.signed = append(i.signed, signedRow{ledger.Ref(r.Origin, r.Seq), h.Key, bytes.Clone(r.Body), bytes.Clone(r.Sig)})
	}
	return i.learn(l, h)
}

func forked(r ledger.Row) error {
	return refused("find out which of the two is right and keep the other one as it is. Its device goes on from a backup made before they parted (ringtrue book restore BACKUP) or from the other's file (ringtrue book take FILE --device NAME); what it alone holds is entered anew: ringtrue book dump",
		"the ledger %s was written twice: entry %s in the file is not the one in this book. That happens when a copy of a book is used beside the book itself, when two books are begun or restored under one --device, or when somebody rewrote it", r.Origin, ledger.Ref(r.Origin, r.Seq))
}

// learn keeps what an entry says that the rest of the file is checked by.
func (i *inspection) learn(l *inspected, h ledger.Header) error {
	switch h.Kind {
	case KindBook:
		return i.opening(h)
	case KindDevice:
		if l.first == "" {
			l.first = field(h, "verifier")
		}
	case training.KindWorker:
		i.commitments[h.Worker], i.contacts[h.Worker], i.origins[h.Worker] = field(h, "commitment"), field(h, "contact"), h.Origin
	case KindForgotten:
		i.forgotten[h.Worker] = true
	case KindSighting:
		var rec SightingRecord
		if err := ledger.Decode(h.Data, &rec); err != nil {
			return fmt.Errorf("entry %s: %w", ledger.Ref(h.Origin, h.Seq), err)
		}
		root, err := ledger.ParseRoot(rec.Root)
		if err != nil {
			return fmt.Errorf("entry %s: %w", ledger.Ref(h.Origin, h.Seq), err)
		}
		i.seen = append(i.seen, Sighting{Head: ledger.Head{Origin: rec.Origin, Size: rec.Size, Root: root}})
	}
	return nil
}

// opening makes sure that the ledger is of the same company and of the same sort of book.
func (i *inspection) opening(h ledger.Header) error {
	var rec BookRecord
	if err := ledger.Decode(h.Data, &rec); err != nil {
		return fmt.Errorf("entry %s: %w", ledger.Ref(h.Origin, h.Seq), err)
	}
	_, own, err := i.b.Opening(i.ctx)
	if err != nil {
		return err
	}
	if rec.Company != own.Company || rec.Zone != own.Zone || rec.Demo != own.Demo {
		return refused("take only files of the same company's devices", "the file is of another book: %s, %s%s; this one is of %s, %s%s",
			rec.Company, rec.Zone, invented(rec.Demo), own.Company, own.Zone, invented(own.Demo))
	}
	if root, err := ledger.ParseRoot(rec.FromRoot); err == nil {
		i.vouched = append(i.vouched, ledger.Head{Origin: rec.From, Size: rec.FromSize, Root: root})
	}
	return nil
}

func invented(demo bool) string {
	if demo {
		return ", an invented demo"
	}
	return ""
}

func (i *inspection) person(p ledger.CarriedPerson) error {
	for _, l := range i.ledgers {
		if l.wrong != nil { // nothing behind it was learned, and it is told once the whole file is read
			return nil
		}
	}
	want, ok := i.commitments[p.ID]
	if !ok {
		return fmt.Errorf("no entry of the file names the person %s", p.ID)
	}
	if got, err := (Person{ID: p.ID, Name: p.Name, Handle: p.Handle, Salt: p.Salt}).Commitment(); err != nil || got != want {
		return fmt.Errorf("the name of the person %s is not the one that was recorded", p.ID)
	}
	if !(Person{Contact: p.Contact, Salt: p.Salt}).contactRecorded(commitment{contact: i.contacts[p.ID]}) {
		return fmt.Errorf("the contact of the person %s is not the one that was recorded", p.ID)
	}
	return nil
}

// whole checks what needs the whole file.
func (i *inspection) whole() error {
	if i.carry.Ledgers[0].Line == "" {
		return refused(askAgain, "the file is not sealed by the device that wrote it")
	}
	for _, l := range i.carry.Ledgers {
		if err := i.ledgers[l.Origin].wrong; err != nil {
			return err
		}
		if err := i.trusted(i.ledgers[l.Origin]); err != nil {
			return err
		}
	}
	if err := i.sighted(); err != nil {
		return err
	}
	return i.signatures()
}

// trusted checks that the seal is by the key that the ledger itself names first, and that this is the key known: a
// ledger's key is trusted on first use and never changes.
func (i *inspection) trusted(l *inspected) error {
	if l.Verifier == "" {
		if slices.Contains(i.vouched, l.Head) || len(l.leaves) <= len(l.known) {
			return nil
		}
		return refused(askAgain, "nobody vouches for the ledger %s: it has no seal, and no sealed ledger of the file goes on from it", l.Origin)
	}
	known, err := i.b.Verifiers(i.ctx, l.Origin)
	if err != nil {
		return err
	}
	if len(known) > 0 && known[0] != l.Verifier || l.first != l.Verifier {
		return refused("ask the people of that device; compare the fingerprints", "the ledger %s is sealed by a key that is not its own: fingerprint %s", l.Origin, ledger.Fingerprint(l.Verifier))
	}
	return nil
}

// sighted compares what devices say they saw of a ledger with the ledger itself, in the file or in the book.
func (i *inspection) sighted() error {
	own, err := i.b.sightings(i.ctx, "")
	if err != nil {
		return err
	}
	byOrigin := map[string][]Sighting{}
	for _, s := range slices.Concat(own, i.seen) {
		byOrigin[s.Origin] = append(byOrigin[s.Origin], s)
	}
	for _, origin := range slices.Sorted(maps.Keys(byOrigin)) {
		leaves, err := i.leavesOf(origin)
		if err != nil {
			return err
		}
		for _, s := range i.seen {
			if s.Origin == origin && s.Size > int64(len(leaves)) {
				return refused(askAgain, "the file leaves out entries of the ledger %s: a device whose entries it holds had seen %d, and the file and this book have %d", origin, s.Size, len(leaves))
			}
		}
		if size := misseen(leaves, byOrigin[origin]); size > 0 {
			return refused("find out which copy is right before anything else is taken", "the ledger %s was written twice: a device saw other entries among its first %d than this book or the file holds", origin, size)
		}
	}
	return nil
}

// leavesOf gives the longer of what the book and the file have of a ledger; one begins with the other.
func (i *inspection) leavesOf(origin string) (ledger.Leaves, error) {
	if l, ok := i.ledgers[origin]; ok {
		if len(l.known) > len(l.leaves) {
			return l.known, nil
		}
		return l.leaves, nil
	}
	return i.b.Leaves(i.ctx, origin, 0)
}

// misseen gives the size of the first head that the leaves contradict, or 0. Longer heads than there are leaves say
// nothing.
func misseen(leaves ledger.Leaves, seen []Sighting) int64 {
	sort.SliceStable(seen, func(a, b int) bool { return seen[a].Size < seen[b].Size })
	var roots ledger.Roots
	for _, s := range seen {
		if s.Size > int64(len(leaves)) {
			return 0
		}
		for roots.Size() < s.Size {
			roots.Add(leaves[roots.Size()])
		}
		if roots.Root() != s.Root {
			return s.Size
		}
	}
	return 0
}

// signatures checks that every personal signature fits its entry. Whether the key was in force then is for
// verification to say.
func (i *inspection) signatures() error {
	known, err := i.b.Keys(i.ctx)
	if err != nil {
		return err
	}
	i.keys.Join(known)
	for _, s := range i.signed {
		key, ok := i.keys.Key(s.key)
		if !ok {
			return fmt.Errorf("entry %s is signed with the key %s, which no entry announces", s.ref, s.key)
		}
		v, err := note.NewVerifier(key.Verifier)
		if err == nil {
			err = ledger.CheckSignature(s.body, s.sig, v)
		}
		if err != nil {
			return fmt.Errorf("entry %s: %w", s.ref, err)
		}
	}
	return nil
}
