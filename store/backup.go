package store

import (
	"context"
	"encoding/base32"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/store/ledger"
)

// Backup writes a copy of the whole book, as it is at this moment, to a file that must not exist yet, and reads it
// back: every entry of it is verified before it gets its name. The private key of this device is in the copy too.
func (b *Book) Backup(ctx context.Context, to string) (rep Report, err error) {
	err = b.copyTo(ctx, to, func(name string) (err error) {
		rep, err = checkCopy(ctx, name)
		return err
	})
	return rep, err
}

// copyTo copies the book to a private file beside its place, lets ready look at it or change it, and puts it there.
func (b *Book) copyTo(ctx context.Context, to string, ready func(name string) error) error {
	if _, err := os.Lstat(to); err == nil {
		return &UnusableError{What: fmt.Sprintf("%s exists already", to), Next: "name another file"}
	}
	f, err := os.CreateTemp(filepath.Dir(to), ".ringtrue-*") // mode 0600
	if err != nil {
		return fmt.Errorf("write the copy: %w", err)
	}
	name := f.Name()
	if err = f.Close(); err == nil {
		err = b.vacuumInto(ctx, name)
	}
	if err == nil {
		err = ready(name)
	}
	if err == nil {
		err = errors.Join(onDisk(name), place(name, to), onDisk(filepath.Dir(to)))
	}
	return errors.Join(err, remove(name))
}

// vacuumInto copies the book as it is now into an empty file. A transaction under way would stand in the way.
func (b *Book) vacuumInto(ctx context.Context, name string) error {
	if b.readsOneState() {
		if _, err := b.conn.ExecContext(ctx, `ROLLBACK`); err != nil {
			return b.explain("copy the book", err)
		}
		defer func() { _, _ = b.conn.ExecContext(context.WithoutCancel(ctx), `BEGIN`) }()
	}
	_, err := b.conn.ExecContext(ctx, `VACUUM INTO ?`, name)
	return b.explain("copy the book", err)
}

// onDisk waits until a file, or the names in a folder, are on the disk: VACUUM INTO does not.
func onDisk(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// checkCopy reads a copy back.
func checkCopy(ctx context.Context, name string) (rep Report, err error) {
	c, err := Open(ctx, name, ForVerifying)
	if err != nil {
		return rep, err
	}
	rep, err = c.Verify(ctx)
	err = errors.Join(err, c.Close())
	if err == nil && !rep.Copyable() {
		err = &UnusableError{Damaged: true, What: "the book is damaged, and so would be its copy; nothing was written", Next: verifyNext}
	}
	return rep, err
}

// Restored says what a book was restored from.
type Restored struct {
	From   ledger.Head // the ledger that the backup was written by, as it was then
	Origin string      // the ledger that goes on from there
	Report Report
}

// Restore makes a book at path from a backup. It goes on under a new origin, device or the old one with a number and
// letters drawn from random behind it, because the old ledger may have grown after the backup was made: nobody may write
// to it a second time. The letters keep two books restored from one backup apart. The new ledger begins with an entry
// that names the old one and its last known head; its device key is a new one.
func Restore(ctx context.Context, backup, path, device string, now time.Time, random io.Reader) (out Restored, err error) {
	for _, suffix := range suffixes {
		if _, err := os.Lstat(path + suffix); err == nil {
			return out, existing(path + suffix)
		}
	}
	src, err := openBackup(ctx, backup)
	if err != nil {
		return out, err
	}
	defer func() { err = errors.Join(err, src.Close()) }()
	if out.Report, err = src.Verify(ctx); err != nil {
		return out, err
	}
	if !out.Report.Copyable() {
		return out, &UnusableError{Damaged: true, What: fmt.Sprintf("the backup %s is damaged itself; nothing was written", backup), Next: "see what is wrong with it: ringtrue book verify --book FILE; and use another backup"}
	}
	if out.Origin, err = src.nextOrigin(ctx, device, random); err != nil {
		return out, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return out, fmt.Errorf("create the book's folder: %w", err)
	}
	for _, h := range out.Report.Heads {
		if h.Origin == src.origin {
			out.From = h
		}
	}
	err = src.copyTo(ctx, path, func(name string) error { return goOn(ctx, name, out, now) })
	return out, err
}

// openBackup opens a backup; of what is none it says what was asked for.
func openBackup(ctx context.Context, backup string) (*Book, error) {
	src, err := Open(ctx, backup, ForVerifying)
	if bad, ok := errors.AsType[*UnusableError](err); ok && strings.Contains(bad.Next, "--book") { // advice for who opens a book
		err = &UnusableError{What: bad.What, Next: "name a file that ringtrue book backup wrote"}
	}
	return src, err
}

var numbered = regexp.MustCompile(`\.\d+(-[0-9a-v]+)?$`)

// nextOrigin names the ledger that goes on: the folder of the old name with device, or the old name with the next
// number that no ledger of the book has and four letters or digits drawn at random.
func (b *Book) nextOrigin(ctx context.Context, device string, random io.Reader) (string, error) {
	names, err := b.Origins(ctx)
	if err != nil {
		return "", err
	}
	if device != "" {
		name := companyOf(b.origin) + device
		if slices.Contains(names, name) {
			return "", &UnusableError{What: fmt.Sprintf("the book holds a ledger %s already", name), Next: "name another device with --device"}
		}
		return name, nil
	}
	drawn := make([]byte, 3) // 4 letters hold 20 bits of them
	if _, err := io.ReadFull(random, drawn); err != nil {
		return "", fmt.Errorf("draw a name: %w", err)
	}
	letters := strings.ToLower(base32.HexEncoding.EncodeToString(drawn))[:4]
	base := numbered.ReplaceAllString(b.origin, "")
	for n := 2; ; n++ {
		next := base + "." + strconv.Itoa(n)
		if !slices.ContainsFunc(names, func(name string) bool { return name == next || strings.HasPrefix(name, next+"-") }) {
			return next + "-" + letters, nil
		}
	}
}

// companyOf is the part of an origin before the device, with its slash.
func companyOf(origin string) string {
	for i := len(origin) - 1; i >= 0; i-- {
		if origin[i] == '/' {
			return origin[:i+1]
		}
	}
	return ""
}

// goOn turns a copy into a book that goes on under another origin.
func goOn(ctx context.Context, name string, r Restored, now time.Time) error {
	b, err := connect(ctx, name, forNewFile+"&_txlock=immediate")
	if err != nil {
		return err
	}
	if err = b.load(ctx); err == nil {
		err = b.Batch(ctx, func() error { return b.continueAs(ctx, r, now) })
	}
	if err == nil {
		_, err = b.conn.ExecContext(ctx, `PRAGMA journal_mode = WAL`)
		err = b.explain("restore the book", err)
	}
	return errors.Join(err, b.Close())
}

func (b *Book) continueAs(ctx context.Context, r Restored, now time.Time) error {
	_, rec, err := b.Opening(ctx)
	if err != nil {
		return err
	}
	old, err := b.SealOf(ctx, r.From)
	if err != nil {
		return err
	}
	if err := b.exec(ctx, `DELETE FROM device_key`); err != nil {
		return err
	}
	if err := b.exec(ctx, `UPDATE device SET origin = ?`, r.Origin); err != nil {
		return err
	}
	b.origin, b.tail = r.Origin, nil
	rec.Basis = fmt.Sprintf("restored from a backup of %s at %d entries", r.From.Origin, r.From.Size)
	rec.From, rec.FromSize, rec.FromRoot = r.From.Origin, r.From.Size, hex.EncodeToString(r.From.Root[:])
	rec.Restored = true
	happened := now.In(b.zone).Truncate(time.Second)
	es := []ledger.Entry{{Kind: KindBook, Happened: happened, Data: rec}}
	if old.Verifier != "" { // the last seal that the old key makes
		s := Sighting{Head: r.From, Line: old.Line(), Verifier: old.Verifier}
		es = append(es, ledger.Entry{Kind: KindSighting, Happened: happened, Data: s.record()})
	}
	if _, err := b.Append(ctx, now, es); err != nil {
		return err
	}
	return b.settle(ctx, false)
}
