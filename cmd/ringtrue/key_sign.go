package main

import (
	"errors"
	"fmt"
	"slices"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/sealed"
	"example.org/ringtrue/training"
)

// signedKinds are the decisions that somebody who has a key signs. A strike is one of them if it strikes a signed
// entry. What stops somebody is not: nobody looks for a passphrase before a stop counts.
var signedKinds = []string{
	training.KindSignOff, training.KindLift, training.KindRelease, training.KindAttendance, training.KindCredit, training.KindOrientation,
	training.KindAppointment, store.KindTailgate,
}

// keyring gives the keys that the book knows.
func (a *app) keyring() (*ledger.Keys, error) {
	var err error
	if a.keys == nil {
		a.keys, err = a.book.Keys(a.ctx)
	}
	return a.keys, err
}

// signing gives entries their signers: those that the person who records them signs, if they have a key.
func (a *app) signing(es []ledger.Entry) ([]ledger.Entry, error) {
	keys, err := a.keyring()
	if err != nil || a.trying || len(keys.All()) == 0 {
		return es, err
	}
	es = slices.Clone(es)
	for _, by := range signersOf(es) {
		mine, err := a.toSign(es, by)
		if err != nil {
			return nil, err
		}
		if len(mine) == 0 {
			continue
		}
		signer, err := a.signerFor(by, mine)
		if err != nil {
			return nil, err
		}
		for _, e := range mine {
			e.Signer = signer
		}
	}
	return es, nil
}

// signersOf lists the people who record entries, in order.
func signersOf(es []ledger.Entry) (all []string) {
	for _, e := range es {
		if !slices.Contains(all, e.By) {
			all = append(all, e.By)
		}
	}
	return all
}

// toSign picks the entries of a person that want a signature and have none yet.
func (a *app) toSign(es []ledger.Entry, by string) (mine []*ledger.Entry, err error) {
	for i := range es {
		e := &es[i]
		if e.By != by || e.Signer != nil {
			continue
		}
		wanted := slices.Contains(signedKinds, e.Kind)
		if rec, ok := e.Data.(store.Strike); ok {
			if wanted, err = a.isSigned(rec.Entry); err != nil {
				return nil, err
			}
		}
		if wanted {
			mine = append(mine, e)
		}
	}
	return mine, nil
}

func (a *app) isSigned(entry string) (bool, error) {
	ref, err := a.book.Ref(entry)
	if err != nil {
		return false, err
	}
	h, err := a.book.Entry(a.ctx, ref, nil)
	return h.Key != "", err
}

// signerFor opens the key of a person, nil if they have none. A stop is recorded unsigned where the key cannot be
// opened; anything else is refused.
func (a *app) signerFor(person string, es []*ledger.Entry) (ledger.Signer, error) {
	key, has, err := a.keyInForce(person)
	if err == nil && !has {
		return nil, nil
	}
	var signer ledger.Signer
	if err == nil {
		signer, err = a.openKey(key, es)
	}
	if f, ok := errors.AsType[*failure](err); ok && f.code == exitRefused && !slices.ContainsFunc(es, func(e *ledger.Entry) bool { return !isStop(e) }) {
		fmt.Fprintf(a.err, "ringtrue: a stop is not kept waiting for a key; recorded unsigned (%s)\n", f.msg)
		return nil, nil
	}
	return signer, err
}

// isStop reports whether an entry that would be signed stops work, a person or a saw.
func isStop(e *ledger.Entry) bool {
	rec, ok := e.Data.(tailgateRecord)
	return ok && (rec.Assessment.Answer == hazards.Hold || slices.ContainsFunc(rec.Assessment.Findings, stopsSomething))
}

func stopsSomething(f hazards.Finding) bool {
	return f.Effect == hazards.StopSite || f.Effect == hazards.StopPerson || f.Effect == hazards.StopSaw
}

// keyInForce finds the key with which a person signs on this device ("" = the company): announced and not ended.
// Having one elsewhere only is an error: an entry must not look as if its recorder had none.
func (a *app) keyInForce(person string) (key ledger.KnownKey, has bool, err error) {
	keys, err := a.keyring()
	if err != nil {
		return key, false, err
	}
	elsewhere := ""
	for _, k := range keys.All() {
		if _, over := keys.Ended(k.Name); over || k.Person != person {
			continue
		}
		_, here, err := a.book.Sealed(a.ctx, k.Name)
		if err != nil {
			return key, false, err
		}
		if here {
			key, has = k, true
		} else {
			elsewhere = k.Name
		}
	}
	if !has && elsewhere != "" {
		return key, false, refuse("make one for this book too: ringtrue key make", "the key %s is not in this book; it was made on another device", elsewhere)
	}
	return key, has, nil
}

// tries is how often a passphrase is asked for at a terminal (company choice).
const tries = 3

// openKey opens a key once per command, after showing whose it is and what is to be signed.
func (a *app) openKey(key ledger.KnownKey, es []*ledger.Entry) (ledger.Signer, error) {
	if s, ok := a.signers[key.Name]; ok {
		return s, a.showSigning(key, es)
	}
	if !a.canAsk() {
		return nil, refuse(fdNext, "%s has a key, %s, and there is no terminal to ask for its passphrase at", a.ownerOf(key), key.Name)
	}
	if err := a.showSigning(key, es); err != nil {
		return nil, err
	}
	armoured, _, err := a.book.Sealed(a.ctx, key.Name)
	if err != nil {
		return nil, err
	}
	for range tries {
		var phrase, secret string
		if phrase, err = a.passphrase("passphrase of key " + key.Name + ": "); err != nil {
			return nil, err
		}
		if secret, err = sealed.Open(armoured, phrase); err == nil {
			return a.keepOpen(key, secret)
		}
		if !errors.Is(err, sealed.ErrPassphrase) || a.phraseFD != "" {
			break
		}
	}
	return nil, refuse("try again; if it is forgotten: ringtrue key end "+key.Name+", then ringtrue key make", "key %s: %v", key.Name, err)
}

func (a *app) keepOpen(key ledger.KnownKey, secret string) (ledger.Signer, error) {
	s, err := ledger.OpenKey(secret, key.Verifier)
	if err != nil {
		return nil, refuse("end it and make another: ringtrue key end "+key.Name, "key %s: %v", key.Name, err)
	}
	if a.signers == nil {
		a.signers = map[string]ledger.Signer{}
	}
	a.signers[key.Name] = s
	return s, nil
}
