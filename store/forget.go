package store

import (
	"context"
	"errors"
	"strings"
	"time"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// KindForgotten says that the name behind a person id was erased. Devices that take it erase the name too, and none
// writes it again.
const KindForgotten = "forgotten"

// ForgottenRecord says why a name was erased. It holds no name.
type ForgottenRecord struct {
	Reason string `json:"reason"`
	House  string `json:"house"` // house rules whose periods were over, "origin#seq"
}

// Forget records that a person is forgotten and erases name, contact and salt: from the table, from the log beside the
// file, and from pages no longer used. The entries stay as they are, and so does every proof.
func (b *Book) Forget(ctx context.Context, now time.Time, e ledger.Entry) (refs []training.Ref, err error) {
	err = b.Batch(ctx, func() error {
		if refs, err = b.Append(ctx, now, []ledger.Entry{e}); err != nil {
			return err
		}
		_, err = b.erase(ctx, e.Worker)
		return err
	})
	if err != nil {
		return nil, err
	}
	return refs, b.Scrub(ctx)
}

// Erase removes what is left of the name of a person who was forgotten before.
func (b *Book) Erase(ctx context.Context, id string) error {
	err := b.Batch(ctx, func() error {
		_, err := b.erase(ctx, id)
		return err
	})
	if err != nil {
		return err
	}
	return b.Scrub(ctx)
}

// erase removes a name, and the person's sealed private keys; erased is false where no name was there.
func (b *Book) erase(ctx context.Context, id string) (erased bool, err error) {
	keys, err := b.Keys(ctx)
	if err != nil {
		return false, err
	}
	for _, k := range keys.All() {
		if k.Person == id {
			if err := b.exec(ctx, `DELETE FROM sealed WHERE key = ?`, k.Name); err != nil {
				return false, err
			}
		}
	}
	var n int
	if err := b.one(ctx, []any{&n}, `SELECT count(*) FROM person WHERE id = ?`, id); err != nil || n == 0 {
		return false, err
	}
	return true, b.exec(ctx, `DELETE FROM person WHERE id = ?`, id)
}

// Scrub leaves nothing of what was deleted in the file or beside it: deleted bytes are overwritten already
// (secure_delete), the file is written anew, and the log is emptied into it. Other programs must not be reading.
func (b *Book) Scrub(ctx context.Context) error {
	for _, statement := range []string{`VACUUM`, `PRAGMA wal_checkpoint(TRUNCATE)`} {
		if _, err := b.conn.ExecContext(ctx, statement); err != nil {
			return b.explain("erase what was deleted", err)
		}
	}
	if hasLog(b.path) {
		return &UnusableError{What: "the name is erased from the book, but another program reads the book, so the log beside it still holds the name", Next: "end the other program, then do it again"}
	}
	return nil
}

// IsForgotten reports whether a person was forgotten, by this device or another.
func (b *Book) IsForgotten(ctx context.Context, id string) (bool, error) {
	facts, err := b.Topic(ctx, everKnown, id, KindForgotten)
	return len(facts) > 0, err
}

// alien parts a short id from the device it came from, where this book already had one like it.
const alien = "/"

// committed is the short id as it was recorded: without the device behind it.
func (p Person) committed() string {
	handle, _, _ := strings.Cut(p.Handle, alien)
	return handle
}

// addTaken adds the name of a person whom another device recorded in the ledger origin. Where somebody here has the
// short id already, the device's name is put behind it: ana/truck-2.
func (b *Book) addTaken(ctx context.Context, p Person, origin string) (added bool, err error) {
	var n int
	if err := b.one(ctx, []any{&n}, `SELECT count(*) FROM person WHERE id = ?`, p.ID); err != nil || n > 0 {
		return false, err
	}
	for _, handle := range alienHandles(p.Handle, origin) {
		_, there, err := b.PersonByHandle(ctx, handle)
		if err != nil {
			return false, err
		}
		if !there {
			p.Handle = handle
			return true, b.addPerson(ctx, p)
		}
	}
	return false, errors.New("two people of one ledger have the same short id")
}

// alienHandles are the short ids tried, in order.
func alienHandles(handle, origin string) []string {
	device := origin[len(companyOf(origin)):]
	return []string{handle, handle + alien + device, handle + alien + origin}
}

// recorded reports whether a name is the one that its worker entry commits to, and a device behind the short id the one
// whose ledger holds that entry.
func (p Person) recorded(c commitment) bool {
	hash, err := p.Commitment()
	_, device, suffixed := strings.Cut(p.Handle, alien)
	return err == nil && hash == c.hash && (!suffixed || device != "" && strings.HasSuffix(alien+c.origin, alien+device))
}
