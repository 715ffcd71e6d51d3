package main

import (
	"errors"
	"slices"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/credential"
)

// vouched takes along the company's own words about a key, with their signature, so that nobody need believe the device. A
// statement of the first books, which does not name the key itself, is not worth carrying.
func (a *app) vouched(r store.Rostered) (*ledger.Vouched, error) {
	if r.Verifier == "" {
		return nil, nil
	}
	h, err := a.book.Entry(a.ctx, r.Entry, nil)
	if err != nil {
		return nil, err
	}
	keys, err := a.keyring()
	if err != nil {
		return nil, err
	}
	company, ok := keys.Key(h.Key)
	if !ok {
		return nil, refuse("see the whole extent: ringtrue book verify", "entry %s is signed with a key that no entry announces", a.book.Name(r.Entry))
	}
	for row, err := range a.book.Rows(a.ctx, h.Origin, h.Seq, h.Seq) {
		if err != nil {
			return nil, err
		}
		v := ledger.NewVouched(row, company.Verifier)
		return &v, nil
	}
	return nil, refuse("see the whole extent: ringtrue book verify", "entry %s is gone", a.book.Name(r.Entry))
}

// vouchedSo checks that the company signed what the roster says of a key, where its statement came along.
func (k carriedKey) vouchedSo() error {
	if k.Vouched == nil {
		return nil
	}
	says, err := k.Vouched.Check(k.Verifier)
	if err != nil {
		return err
	}
	if says.From != k.From || says.Until != k.Until || !slices.Equal(says.Duties, k.Duties) {
		return errors.New("the company signed something else about the key of " + k.Owner)
	}
	return nil
}

// company says by which key the company vouched, and what this book knows of that one.
func (c *carriedCheck) company(k carriedKey) (fingerprint, known string, err error) {
	switch {
	case k.From == "" && k.Verifier == c.device:
		return "", "", nil
	case k.From == "":
		return "", "no statement of the company about this key came along", nil
	case k.Vouched == nil:
		return "", "the company's statement is quoted, not carried along", nil
	}
	public, err := publicKey(k.Vouched.CompanyKey)
	if err != nil {
		return "", "", err
	}
	known, err = c.known(credential.DID(public))
	return ledger.Fingerprint(k.Vouched.CompanyKey), known, err
}
