package main

import (
	"crypto/ed25519"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/credential"
	"example.org/ringtrue/training"
)

// ownSigner opens the acting person's key for the copies; has is false where they have none, and where the copies are their
// own: nobody vouches for themselves, so the device's key does.
func (a *app) ownSigner(who store.Person, list []inForce) (s credential.Signer, says carriedKey, has bool, err error) {
	by, err := a.actor()
	if err != nil {
		return s, says, false, err
	}
	key, has, err := a.keyInForce(by.ID)
	if err != nil || !has || by.ID == who.ID {
		return s, says, false, err
	}
	if says, err = a.carriedKey(key, by); err != nil {
		return s, says, true, err
	}
	if err := vouchedFor(says, a.day(a.now()), training.DutySign); err != nil {
		return s, says, true, refuse("have the company vouch for it: ringtrue key vouch "+by.Handle+" --for "+training.DutySign+"; or let another sign: --as NAME", "nobody elsewhere would take the copies: %v", err)
	}
	var es []*ledger.Entry
	for _, one := range list {
		es = append(es, &ledger.Entry{Kind: "copy of the sign-off", Worker: who.ID, Skill: one.skill})
	}
	signer, err := a.openKey(key, es)
	if err != nil {
		return s, says, true, err
	}
	if s.Public, err = publicKey(key.Verifier); err != nil {
		return s, says, true, err
	}
	s.Sign = signer.Sign
	return s, says, true, nil
}

// deviceSigner takes the key of this device, which must be there.
func (k *copying) deviceSigner() error {
	a := k.app
	seed, verifier, ok, err := a.book.DeviceKey(a.ctx)
	if err == nil && !ok {
		err = errors.New("this device has no key yet")
	}
	if err != nil {
		return err
	}
	k.device = seedSigner(seed)
	k.keys = []carriedKey{{DID: credential.DID(k.device.Public), Verifier: verifier, Owner: a.opening.Company + ", device " + a.book.Origin(),
		Basis: "the ledger of the device names it", Duties: []string{}}}
	return nil
}

func seedSigner(seed []byte) credential.Signer {
	private := ed25519.NewKeyFromSeed(seed)
	return credential.Signer{Public: private.Public().(ed25519.PublicKey), Sign: func(m []byte) ([]byte, error) { return ed25519.Sign(private, m), nil }}
}

// carriedKey says whose a personal key is, and what the company said of it last.
func (a *app) carriedKey(key ledger.KnownKey, by store.Person) (carriedKey, error) {
	public, err := publicKey(key.Verifier)
	if err != nil {
		return carriedKey{}, err
	}
	one := carriedKey{DID: credential.DID(public), Verifier: key.Verifier, Owner: by.Name, Duties: []string{},
		Basis: "the book owner's word; the company has not vouched for it"}
	list, err := a.book.Roster(a.ctx)
	for _, r := range list {
		if r.Key != key.Name {
			continue
		}
		one.Duties, one.From, one.Until, one.Basis = r.Duties, r.From, r.Until, "the company vouches, entry "+a.book.Name(r.Entry)+": "+r.Basis
		if one.Vouched, err = a.vouched(r); err != nil {
			return one, err
		}
	}
	return one, err
}

// publicKey reads the 32 bytes from a verifier key, NAME+HASH+BASE64 of an algorithm byte and the key (C2SP signed-note).
func publicKey(verifier string) (ed25519.PublicKey, error) {
	parts := strings.SplitN(verifier, "+", 3)
	b, err := base64.StdEncoding.DecodeString(parts[len(parts)-1])
	if err != nil || len(parts) != 3 || len(b) != 1+ed25519.PublicKeySize || b[0] != 1 {
		return nil, fmt.Errorf("%.80q is not the verifier key of an Ed25519 key", verifier)
	}
	return b[1:], nil
}
