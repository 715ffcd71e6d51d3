package store

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/gowebpki/jcs"
)

// Person is what may be forgotten about a worker: the name and how it is written for short. Entries hold only ID,
// which is random, and the worker entry a commitment to the name.
type Person struct {
	ID      string // "p" and 7 letters or digits
	Name    string
	Handle  string // short id, as typed: lower-case letters, digits and hyphens
	Contact string
	Salt    []byte // 32 random bytes
}

// Commitment is HMAC-SHA-256, keyed by the salt, over the canonical JSON of handle and name, in hex. The handle counts
// as it was recorded, see committed.
func (p Person) Commitment() (string, error) {
	return p.commit(map[string]string{"handle": p.committed(), "name": p.Name})
}

// ContactCommitment is the same over how the person is reached, also where nothing is told: so that one that was put there later is seen.
func (p Person) ContactCommitment() (string, error) {
	return p.commit(map[string]string{"contact": p.Contact})
}

func (p Person) commit(words map[string]string) (string, error) {
	plain, err := json.Marshal(words)
	if err != nil {
		return "", err
	}
	canonical, err := jcs.Transform(plain)
	if err != nil {
		return "", fmt.Errorf("name %q cannot be written: %w", p.Name, err)
	}
	mac := hmac.New(sha256.New, p.Salt)
	mac.Write(canonical)
	return hex.EncodeToString(mac.Sum(nil)), nil
}

func (b *Book) addPerson(ctx context.Context, p Person) error {
	return b.exec(ctx, `INSERT INTO person VALUES (?, ?, ?, ?, ?)`, p.ID, p.Name, p.Handle, p.Contact, p.Salt)
}

// People returns everybody whose name the book holds, by handle.
func (b *Book) People(ctx context.Context) (people []Person, err error) {
	var p Person
	err = b.each(ctx, []any{&p.ID, &p.Name, &p.Handle, &p.Contact, &p.Salt}, func() error {
		people = append(people, p)
		return nil
	}, `SELECT id, name, handle, contact, salt FROM person ORDER BY handle`)
	return people, err
}

// PersonByHandle finds one person; ok is false where nobody has that handle.
func (b *Book) PersonByHandle(ctx context.Context, handle string) (p Person, ok bool, err error) {
	err = b.one(ctx, []any{&p.ID, &p.Name, &p.Handle, &p.Contact, &p.Salt}, `SELECT id, name, handle, contact, salt FROM person WHERE handle = ?`, handle)
	if errors.Is(err, sql.ErrNoRows) {
		return Person{}, false, nil
	}
	return p, err == nil, err
}
