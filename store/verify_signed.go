package store

import (
	"context"
	"errors"

	"example.org/ringtrue/store/ledger"
)

// signedEntry is an entry whose signature is yet to be checked.
type signedEntry struct {
	origin string
	seq    int64
}

// signers are the people who have keys, by what is derived from the entries, which is checked later; none where that cannot be read.
func (b *Book) signers(ctx context.Context) map[string]bool {
	people := map[string]bool{}
	keys, err := b.Keys(ctx)
	if err != nil {
		return people
	}
	for _, k := range keys.All() {
		people[k.Person] = true
	}
	return people
}

func signedIn(origin string, c *ledger.Chain) (list []signedEntry) {
	for _, seq := range c.Signed {
		list = append(list, signedEntry{origin, seq})
	}
	return list
}

// verifySignatures checks the signatures once all entries are read, because any ledger of the book may announce or end
// a key. A check costs far more than reading the row again, so the list is cut in two, one half on each connection.
func (b *Book) verifySignatures(ctx context.Context, keys *ledger.Keys, list []signedEntry, rep *Report) error {
	if len(list) < 2 {
		found, err := b.untrusted(ctx, keys, list)
		rep.Findings = append(rep.Findings, found...)
		return err
	}
	other, err := b.Further(ctx)
	if err != nil {
		return err
	}
	half := len(list) / 2
	var rest []ledger.Finding
	done := make(chan error, 1)
	go func() {
		var err error
		rest, err = other.untrusted(ctx, keys, list[half:])
		done <- err
	}()
	found, err := b.untrusted(ctx, keys, list[:half])
	err = errors.Join(err, <-done)
	rep.Findings = append(append(rep.Findings, found...), rest...)
	return err
}

func (b *Book) untrusted(ctx context.Context, keys *ledger.Keys, list []signedEntry) (found []ledger.Finding, err error) {
	var body, sig []byte
	for _, e := range list {
		if err := b.one(ctx, []any{&body, &sig}, `SELECT body, sig FROM entry WHERE origin = ? AND seq = ?`, e.origin, e.seq); err != nil {
			return found, err
		}
		h, err := ledger.ReadHeader(body)
		if err == nil {
			err = keys.Check(h, body, sig)
		}
		if err != nil {
			found = append(found, ledger.Untrusted(e.origin, e.seq, err))
		}
	}
	return found, nil
}
