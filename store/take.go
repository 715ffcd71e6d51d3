package store

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"example.org/ringtrue/store/ledger"
)

// RefusedError says why a carried file is not taken, and what to do. Nothing of it was written.
type RefusedError struct{ What, Next string }

func (e *RefusedError) Error() string { return e.What }

func refused(next, format string, args ...any) error {
	return &RefusedError{fmt.Sprintf(format, args...), next}
}

const askAgain = "have the file carried anew from the other device: ringtrue book carry -o FILE"

// Met is one ledger that a taken file brought.
type Met struct {
	Origin   string
	Size     int64  // entries of it in the file
	New      int64  // of them new to this book
	First    bool   // this book held nothing of it before
	Verifier string // its key, "" where it has none
	Stated   time.Time
}

// Taken says what a carried file brought.
type Taken struct {
	Carrier   string // whose file it was
	Met       []Met
	Persons   int // names new to this book
	Forgotten int // names that were erased, because another device had forgotten them
}

// Take takes a carried file into the book: entries that it lacks, by ledger and number, and names. The whole file is
// checked before anything is written, against itself and against the book; where something is wrong, nothing of it is
// written. Taking a file again, or an older one, changes nothing. What the other devices have stated is recorded as
// sightings in this device's own ledger.
func (b *Book) Take(ctx context.Context, path string, now time.Time) (out Taken, err error) {
	f, err := openCarried(path)
	if err != nil {
		return out, err
	}
	defer f.Close()
	err = b.Batch(ctx, func() error {
		out, err = b.take(ctx, f, now)
		return err
	})
	if err == nil && out.Forgotten > 0 {
		err = b.Scrub(ctx)
	}
	return out, err
}

func openCarried(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, refused("name the file that was carried here", "read %s: %v", path, err)
	case !info.Mode().IsRegular():
		return nil, refused("name the file that was carried here", "read %s: it is not a file", path)
	case info.Size() > MaxCarry:
		return nil, refused("name the file that was carried here", "read %s: it has %d bytes, more than the %d allowed", path, info.Size(), int64(MaxCarry))
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, refused("check who may read the file", "read %s: %v", path, err)
	}
	return f, nil
}

func (b *Book) take(ctx context.Context, f io.ReadSeeker, now time.Time) (out Taken, err error) {
	look := &inspection{b: b, ctx: ctx, ledgers: map[string]*inspected{}, commitments: map[string]string{}, contacts: map[string]string{}, origins: map[string]string{}, forgotten: map[string]bool{}, keys: ledger.NewKeys()}
	first, err := readThrough(f, ledger.CarryVisitor{Header: look.header, Entry: look.entry, Person: look.person})
	if err == nil {
		err = look.whole()
	}
	if err != nil {
		return out, asRefused(err)
	}
	write := &taking{inspection: look}
	second, err := readThrough(f, ledger.CarryVisitor{Again: true, Header: func(ledger.CarryHeader) error { return nil }, Entry: write.entry, Person: write.person})
	if err == nil && first != second {
		err = refused("do it again", "the file changed while it was read")
	}
	if err != nil {
		return out, err
	}
	return write.finish(now)
}

// asRefused turns what is wrong with the file into a refusal; what is wrong with the book stands for itself.
func asRefused(err error) error {
	_, done := errors.AsType[*RefusedError](err)
	_, book := errors.AsType[*UnusableError](err)
	if done || book || errors.Is(err, context.Canceled) {
		return err
	}
	return refused(askAgain, "the file is damaged or was changed: %v", err)
}

// readThrough reads a carried file from its beginning and gives the hash of its bytes.
func readThrough(f io.ReadSeeker, v ledger.CarryVisitor) (sum [32]byte, err error) {
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return sum, err
	}
	h := sha256.New()
	if err := ledger.ReadCarry(io.TeeReader(io.LimitReader(f, MaxCarry+1), h), v); err != nil {
		return sum, err
	}
	return [32]byte(h.Sum(nil)), nil
}
