package main

import (
	"crypto/ed25519"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/sealed"
	"example.org/ringtrue/training"
)

func newKeyMakeCmd(a *app) *cobra.Command {
	var company bool
	c := &cobra.Command{
		Use:   "make",
		Short: "Make a key for who acts, or for the company, closed with a passphrase",
		Long: `Make a key. Its private half stays in this book, closed with a passphrase; nobody can recover it. At a terminal five random
words are offered; a passphrase of your own has 15 characters or more. Make your own key yourself, with nobody looking on.

With --company it is the company's key, made by the owner of the book, which vouches for the keys of people. Hand its fingerprint
out on paper or by phone: whoever checks the book elsewhere compares it.`,
		Example: `  ringtrue key make --as okafor
  ringtrue key make --as okafor --passphrase-fd 3 3<phrase.txt
  ringtrue key make --company`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.write(); err != nil {
				return err
			}
			m, err := a.makeKey(company)
			if err != nil {
				return err
			}
			return a.done(m.by, m.refs, m.happened, "made the key of "+a.ownerOf(m.key), m.notes()...)
		},
	}
	c.Flags().BoolVar(&company, "company", false, "the company's key")
	return c
}

// madeKey is a key that was made.
type madeKey struct {
	by       store.Person
	key      ledger.KnownKey
	knownBy  string
	happened time.Time
	refs     []training.Ref
}

func (m madeKey) notes() []string {
	return []string{
		"key " + m.key.Name,
		"fingerprint " + ledger.Fingerprint(m.key.Verifier) + ": write it down, and let others compare it",
		"known by " + m.knownBy,
		"a forgotten passphrase cannot be recovered: end the key then and make another",
	}
}

// makeKey draws a key, seals it and announces it, signed with the key itself.
func (a *app) makeKey(company bool) (madeKey, error) {
	m, err := a.mayMakeKey(company)
	if err != nil {
		return m, err
	}
	phrase, err := a.newPhrase()
	if err != nil {
		return m, err
	}
	seed := make([]byte, ed25519.SeedSize)
	if _, err := io.ReadFull(a.random(), seed); err != nil {
		return m, fmt.Errorf("draw a key: %w", err)
	}
	owner := m.key.Person
	if company {
		owner = companyName
	}
	secret, verifier, err := ledger.NewPersonalKey(owner, seed)
	if err != nil {
		return m, err
	}
	armoured, err := sealed.Seal(secret, phrase, sealed.Work)
	if err != nil {
		return m, err
	}
	signer, err := ledger.OpenKey(secret, verifier)
	if err != nil {
		return m, err
	}
	m.key.Name, m.key.Verifier = signer.Name(), verifier
	return m, a.announce(&m, signer, armoured)
}

// announce keeps the sealed key and the entry that announces it, both or none.
func (a *app) announce(m *madeKey, signer ledger.Signer, armoured string) error {
	e := keyEntry(ledger.KindKey, m.by, m.key, ledger.Key{Verifier: m.key.Verifier, Basis: "made by " + m.by.ID + " on this device"})
	e.Happened, e.Signer = m.happened, signer
	return a.book.Batch(a.ctx, func() error {
		if err := a.book.KeepSealed(a.ctx, m.key.Name, armoured); err != nil {
			return err
		}
		var err error
		m.refs, err = a.append([]ledger.Entry{e})
		return err
	})
}

// mayMakeKey finds out who makes a key for whom, and refuses a second one beside one that is in force here.
func (a *app) mayMakeKey(company bool) (m madeKey, err error) {
	if m.by, err = a.actor(); err != nil {
		return m, err
	}
	m.happened, err = a.happened("")
	if err != nil {
		return m, err
	}
	if !company {
		m.key.Person = m.by.ID
	} else if err := a.mustLead(m.by, "make the company's key"); err != nil {
		return m, err
	}
	if !a.canAsk() {
		return m, refuse(fdNext, "a new key needs a passphrase, and there is no terminal to ask for it at")
	}
	if key, has, err := a.keyInForce(m.key.Person); err == nil && has {
		return m, refuse("go on with it, or end it first: ringtrue key end "+key.Name, "%s has a key in this book already: %s", a.ownerOf(key), key.Name)
	}
	keys, err := a.keyring()
	if err != nil {
		return m, err
	}
	m.knownBy = keyLine{Person: m.key.Person}.known(nil, companyHas(keys)).KnownBy
	return m, nil
}
