package store

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"example.org/ringtrue/store/ledger"
)

// StartFrom makes the book of a further device at path from a carried file: a ledger of its own, named after the company and the
// device, beside those of the file. Its opening entry names the ledger of the carrier and its head. It returns the book
// open for writing; where the file is refused, no book stays behind.
func StartFrom(ctx context.Context, file, path, device, tool string, now time.Time, random io.Reader) (_ *Book, t Taken, err error) {
	f, err := openCarried(file)
	if err != nil {
		return nil, t, err
	}
	header, rec, err := firstOpening(f)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, t, asRefused(err)
	}
	first := header.Ledgers[0].Head
	origin := companyOf(first.Origin) + device
	for _, l := range header.Ledgers {
		if l.Origin == origin {
			return nil, t, refused("give this device another name with --device", "the file holds a ledger %s already", origin)
		}
	}
	rec.Basis, rec.Tool = fmt.Sprintf("further device, started with the ledger %s at %d entries", first.Origin, first.Size), tool
	rec.Restored = false
	rec.From, rec.FromSize, rec.FromRoot = first.Origin, first.Size, hex.EncodeToString(first.Root[:])
	zone, err := time.LoadLocation(rec.Zone)
	if err != nil {
		return nil, t, refused("install the time zone data of the system", "this machine does not know the time zone %q", rec.Zone)
	}
	b, err := Create(ctx, path, origin, zone)
	if err != nil {
		return nil, t, err
	}
	if t, err = b.join(ctx, file, rec, now, random); err != nil {
		return nil, t, errors.Join(err, b.Discard())
	}
	return b, t, nil
}

// join fills a new book in one transaction.
func (b *Book) join(ctx context.Context, file string, rec BookRecord, now time.Time, random io.Reader) (t Taken, err error) {
	err = b.Batch(ctx, func() error {
		_, err := b.Append(ctx, now, []ledger.Entry{{Kind: KindBook, Happened: now.In(b.zone).Truncate(time.Second), Data: rec}})
		if err != nil {
			return err
		}
		if err := b.EnsureDeviceKey(ctx, now, random); err != nil {
			return err
		}
		t, err = b.Take(ctx, file, now)
		return err
	})
	return t, err
}

var errEnough = errors.New("enough")

// firstOpening reads a carried file as far as its first entry, which opens the carrier's ledger.
func firstOpening(f *os.File) (first ledger.CarryHeader, rec BookRecord, err error) {
	err = ledger.ReadCarry(io.LimitReader(f, MaxCarry), ledger.CarryVisitor{
		Header: func(h ledger.CarryHeader) error { first = h; return nil },
		Entry: func(_ ledger.Row, h ledger.Header) error {
			if h.Kind != KindBook {
				return errors.New("its first entry opens no book")
			}
			if err := ledger.Decode(h.Data, &rec); err != nil {
				return err
			}
			return errEnough
		},
		Person: func(ledger.CarriedPerson) error { return nil },
	})
	if errors.Is(err, errEnough) {
		err = nil
	}
	return first, rec, err
}
