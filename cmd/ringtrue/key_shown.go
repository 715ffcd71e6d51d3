package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// ownerOf says whose a key is.
func (a *app) ownerOf(key ledger.KnownKey) string {
	if key.Person == "" {
		return "the company"
	}
	p, err := a.crew()
	if err != nil {
		return key.Person
	}
	return p.name(key.Person)
}

// showSigning says who is about to sign what, on the error stream.
func (a *app) showSigning(key ledger.KnownKey, es []*ledger.Entry) error {
	p, err := a.crew()
	if err != nil {
		return err
	}
	var what []string
	for _, e := range es {
		what = append(what, signedAs(e, p))
	}
	cautions, err := a.notVouched(key, es)
	if err != nil {
		return err
	}
	mark := ledger.Fingerprint(key.Verifier)
	if a.json {
		return json.NewEncoder(a.err).Encode(map[string]any{"format": "ringtrue/signing/1", "by": key.Person, "key": key.Name, "fingerprint": mark, "entries": what, "cautions": cautions})
	}
	fmt.Fprintf(a.err, "ringtrue: to be signed by %s, key %s, fingerprint %s\n", a.ownerOf(key), key.Name, mark)
	for i, w := range what {
		if i == maxShown {
			fmt.Fprintf(a.err, "  and %d more\n", len(what)-i)
			break
		}
		fmt.Fprintf(a.err, "  %s\n", w)
	}
	for _, c := range cautions {
		fmt.Fprintf(a.err, "  caution: %s\n", c)
	}
	return nil
}

// signedDuties are the duties for which the company must vouch for a key that signs entries of a kind.
var signedDuties = map[string]string{
	training.KindSignOff: training.DutySign, training.KindLift: training.DutySign, training.KindRelease: training.DutySign,
	training.KindCredit: training.DutySign, training.KindAttendance: training.DutyTeach,
}

// notVouched says what the company, where it vouches for a key, does not vouch for. The signature is good all the same:
// whether to rely on it is for whoever reads it.
func (a *app) notVouched(key ledger.KnownKey, es []*ledger.Entry) ([]string, error) {
	cautions := []string{}
	roster, err := a.book.Roster(a.ctx)
	if err != nil {
		return nil, err
	}
	says := carriedKey{}
	for _, r := range roster { // the last one counts
		if r.Key == key.Name {
			says = carriedKey{Duties: r.Duties, From: r.From, Until: r.Until}
		}
	}
	for _, e := range es {
		duty := signedDuties[e.Kind]
		if duty == "" {
			continue
		}
		if err := vouchedFor(says, a.day(a.now()), duty); err != nil && !slices.Contains(cautions, err.Error()) {
			cautions = append(cautions, err.Error())
		}
	}
	return cautions, nil
}

// maxShown is how many of the entries to be signed are shown one by one (company choice).
const maxShown = 20

// signedAs says in one line what is to be signed.
func signedAs(e *ledger.Entry, p *people) string {
	switch rec := e.Data.(type) {
	case tailgateRecord:
		return fmt.Sprintf("tailgate check of block %s: %s", rec.Block, rec.Assessment.Answer)
	case store.Strike:
		return "strike of entry " + rec.Entry
	case training.Attendance:
		return fmt.Sprintf("%s was taught %s", p.name(e.Worker), rec.Module)
	case training.Credit:
		return fmt.Sprintf("earlier training of %s accepted in %s", p.name(e.Worker), rec.Module)
	case training.Release:
		return fmt.Sprintf("release of %s for %s, %s%s", p.name(e.Worker), rec.Group, rec.Level, note(", own word: ", rec.Basis))
	case training.SignOff:
		return fmt.Sprintf("sign-off of %s for %s until %s", p.name(e.Worker), e.Skill, rec.Until)
	case training.Orientation:
		return fmt.Sprintf("%s oriented on block %s", p.name(e.Worker), rec.Block)
	case training.Appointment:
		return fmt.Sprintf("%s named for %s", p.name(e.Worker), strings.Join(rec.Duties, ","))
	case ledger.Roster:
		return fmt.Sprintf("key %s belongs to %s, for %s", rec.Key, p.name(e.Worker), strings.Join(rec.Duties, ","))
	case ledger.KeyEnd:
		return fmt.Sprintf("end of key %s", rec.Key)
	}
	return fmt.Sprintf("%s of %s%s", e.Kind, p.name(e.Worker), note(", ", e.Skill))
}

// signedText says under an entry who stands behind it: whose signature it carries, or that nobody signed.
func (a *app) signedText(ref training.Ref, name string) string {
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil {
		return "recorded as " + name + ", not read again: " + err.Error()
	}
	keys, err := a.keyring()
	if err == nil {
		err = a.book.CheckSignature(a.ctx, keys, ref)
	}
	if err != nil {
		return "recorded as " + name + ", and its signature cannot be trusted: " + err.Error()
	}
	key, signed := keys.Key(h.Key)
	switch {
	case !signed:
		return "recorded as " + name + ", not personally signed"
	case key.Person == "":
		return "recorded as " + name + ", signed by the company, key " + ledger.Fingerprint(key.Verifier)
	}
	return "signed by " + name + ", key " + ledger.Fingerprint(key.Verifier)
}

// signature says whether the signature of an entry read from b is good, or why it cannot be trusted; "" = not signed.
// The keyring has been read.
func (a *app) signature(b *store.Book, ref training.Ref, h ledger.Header) string {
	if h.Key == "" {
		return ""
	}
	if err := b.CheckSignature(a.ctx, a.keys, ref); err != nil {
		return err.Error()
	}
	return goodSignature
}

const goodSignature = "good"

// signedBy says behind who recorded an entry that it is signed, or that its signature cannot be trusted.
func (a *app) signedBy(key, signature string) string {
	if signature == "" {
		return ""
	}
	known, ok := a.keys.Key(key)
	if signature != goodSignature || !ok {
		return ", and its signature cannot be trusted: " + signature
	}
	return ", signed with key " + ledger.Fingerprint(known.Verifier)
}
