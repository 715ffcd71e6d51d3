// Package store keeps the book: one SQLite file with one ledger, the names of people beside it, and rows derived
// from the ledger for fast questions. Only this package speaks SQL.
//
// The ledger is the only truth. Everything an answer depends on stands in an entry; derived rows are written in the
// same transaction and can be refilled from the entries. Entries are only ever added.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	_ "github.com/mattn/go-sqlite3" // the SQLite driver

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// Mode says what a book is opened for.
type Mode int

// Modes of opening. Reading never changes the file; verifying opens also what is too damaged to be read.
const (
	ForReading Mode = iota
	ForWriting
	ForVerifying
)

// Book is an open book. It is for one goroutine; Facts and Verify use further read-only connections of their own.
type Book struct {
	path    string
	mode    string // in the data source name
	db      *sql.DB
	conn    *sql.Conn
	second  *Book  // a further read-only connection, opened when first needed
	batch   bool   // within Batch
	seen    int64  // SQLite's data_version when the last batch began, 0 = what is known of the book must be read again
	writes  int    // statements that changed the book, in this batch
	spoiled bool   // something was refused in this batch after part of it had been written
	origin  string // this device's own ledger
	version int    // of the tables in the file, as this connection knows it
	refs    *refs
	stored  []string // origin names in the file when the batch began
	zone    *time.Location
	stmts   map[string]*sql.Stmt
	tail    *tail
	strikes map[training.Ref]int64 // see struck
	suppose training.Ref           // see Supposing
	trust   trust                  // see weigh
	parts   map[[2]string]openPart
}

// Pragmas stand in the data source name, so that every connection has them. synchronous FULL is said because the
// driver would set NORMAL, which may lose the last acknowledged entries at a power cut. A new file is laid
// without WAL, because its page size can be said only then, and switched to it when it is whole.
const (
	pragmas    = "_foreign_keys=on&_secure_delete=on&_synchronous=FULL"
	waits      = "&_busy_timeout=5000"                                       // ms
	hurries    = "&_busy_timeout=200"                                        // ms, where somebody waits for what the book says
	forWriting = "rw&_journal_mode=WAL&_txlock=immediate&_cache_size=-65536" // 64 MiB: a large season is written without reading it again
	forNewFile = "rw"
	forReading = "ro"
	unchanging = "ro&immutable=1"
)

func source(path, mode string) string {
	u := url.URL{Scheme: "file", OmitHost: true, Path: path}
	wait := waits
	if strings.HasSuffix(mode, hurries) {
		wait = ""
	}
	return u.String() + "?" + pragmas + wait + "&mode=" + mode
}

// Create makes a new book with this device's origin; zone is the book's time zone. It refuses a path where
// something exists. The caller appends the opening entries; a book without them cannot be opened again.
func Create(ctx context.Context, path, origin string, zone *time.Location) (*Book, error) {
	for _, suffix := range suffixes { // a log left by a removed book would be taken for this one's
		if _, err := os.Lstat(path + suffix); err == nil {
			return nil, existing(path + suffix)
		}
	}
	if err := lay(ctx, path, origin); err != nil {
		return nil, err
	}
	b, err := connect(ctx, path, forWriting)
	if err != nil {
		return nil, errors.Join(err, remove(path))
	}
	b.origin, b.zone, b.stored, b.version = origin, zone, []string{origin}, version
	b.refs = newRefs(b.stored)
	return b, nil
}

func existing(path string) error {
	return &UnusableError{What: fmt.Sprintf("create the book: %s exists already", path), Next: "name another file with --book, or go on with the book that is there"}
}

// suffixes of the book's file and of what SQLite keeps beside it.
var suffixes = []string{"", "-wal", "-shm", "-journal"}

// lay makes the file under a name of its own and gives it its place when it is whole: whoever finds something there
// finds a book.
func lay(ctx context.Context, path, origin string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("create the book's folder: %w", err)
	}
	file, err := os.CreateTemp(filepath.Dir(path), ".ringtrue-*") // mode 0600
	if err != nil {
		return fmt.Errorf("create the book: %w", err)
	}
	name := file.Name()
	if err = errors.Join(file.Close(), fill(ctx, name, origin)); err == nil {
		err = place(name, path)
	}
	return errors.Join(err, remove(name))
}

// place moves a file to where none is. A link never replaces a file; where the disk knows no links, renaming must do.
func place(from, to string) error {
	err := os.Link(from, to)
	if err == nil {
		return nil
	}
	if _, there := os.Lstat(to); there == nil {
		return existing(to)
	}
	return os.Rename(from, to)
}

// fill writes the tables into a new file.
func fill(ctx context.Context, path, origin string) error {
	b, err := connect(ctx, path, forNewFile)
	if err != nil {
		return err
	}
	_, err = b.conn.ExecContext(ctx, pageSize+`BEGIN;`+schema()+`
		INSERT INTO device VALUES (1, ?); INSERT INTO origin VALUES (1, ?); COMMIT; PRAGMA journal_mode = WAL`, origin, origin)
	return errors.Join(b.explain("create the book", err), b.Close())
}

// Discard closes a book that was being created and removes its files: nothing half made stays behind.
func (b *Book) Discard() error {
	return errors.Join(b.Close(), remove(b.path))
}

func remove(path string) (err error) {
	for _, suffix := range suffixes {
		if e := os.Remove(path + suffix); e != nil && !errors.Is(e, fs.ErrNotExist) {
			err = errors.Join(err, e)
		}
	}
	return err
}

func connect(ctx context.Context, path, mode string) (*Book, error) {
	db, err := sql.Open("sqlite3", source(path, mode))
	if err != nil {
		return nil, err
	}
	b := &Book{path: path, mode: mode, db: db, stmts: map[string]*sql.Stmt{}, parts: map[[2]string]openPart{}}
	if b.conn, err = db.Conn(ctx); err != nil {
		return nil, errors.Join(b.explain("open the book", err), db.Close())
	}
	if b.readsOneState() {
		if _, err = b.conn.ExecContext(ctx, `BEGIN`); err != nil {
			return nil, errors.Join(b.explain("open the book", err), b.Close())
		}
	}
	return b, nil
}

// readsOneState reports whether the connection reads in one transaction: one state of the book answers the whole
// command, and locks are taken once.
func (b *Book) readsOneState() bool { return strings.HasPrefix(b.mode, forReading) }

// Open opens the book at path. What stands in the way (missing, not ours, newer, damaged, busy, read-only) is an
// *UnusableError that says what to do.
func Open(ctx context.Context, path string, mode Mode) (*Book, error) {
	return openWith(ctx, path, mode, "")
}

// openWith opens a book with something more in the data source name.
func openWith(ctx context.Context, path string, mode Mode, more string) (*Book, error) {
	if err := checkFile(path, mode); err != nil {
		return nil, err
	}
	b, err := connect(ctx, path, sqliteMode(path, mode)+more)
	if err != nil {
		return nil, err
	}
	err = b.load(ctx)
	if bad, ok := errors.AsType[*UnusableError](err); ok && bad.Damaged && mode == ForVerifying && b.refs != nil {
		err = nil // the first entry is damaged; verification will name it
	}
	if err != nil {
		_ = b.Close()
		return nil, err
	}
	return b, nil
}

// sqliteMode: in a folder that takes no new files a reader cannot make the shared-memory file of WAL mode; without
// a log file beside the book the file can then be read as unchanging.
func sqliteMode(path string, mode Mode) string {
	switch {
	case mode == ForWriting:
		return forWriting
	case !hasLog(path) && !writable(filepath.Dir(path)):
		return unchanging
	}
	return forReading
}

func (b *Book) load(ctx context.Context) error {
	if err := b.one(ctx, []any{&b.version}, `PRAGMA user_version`); err != nil {
		return err
	}
	err := b.one(ctx, []any{&b.origin}, `SELECT origin FROM device`)
	if errors.Is(err, sql.ErrNoRows) {
		return &UnusableError{Damaged: true, What: fmt.Sprintf("the book %s has lost the name of its own ledger", b.path), Next: restoreNext}
	}
	if err != nil {
		return err
	}
	names, err := b.originNames(ctx)
	if err != nil {
		return err
	}
	b.stored, b.refs = names, newRefs(names)
	return b.loadZone(ctx)
}

func (b *Book) originNames(ctx context.Context) (names []string, err error) {
	var n string
	err = b.each(ctx, []any{&n}, func() error {
		names = append(names, n)
		return nil
	}, `SELECT name FROM origin ORDER BY id`)
	return names, err
}

// loadZone reads the book's zone from its opening entry.
func (b *Book) loadZone(ctx context.Context) error {
	_, rec, err := b.Opening(ctx)
	if err != nil {
		return err
	}
	zone, err := time.LoadLocation(rec.Zone)
	if err != nil {
		return &UnusableError{What: fmt.Sprintf("open the book: this machine does not know the time zone %q", rec.Zone), Next: "install the time zone data of the system"}
	}
	b.zone = zone
	return nil
}

// Opening returns the entry that opened the book. Every ledger of the book begins with one.
func (b *Book) Opening(ctx context.Context) (ledger.Header, BookRecord, error) {
	var rec BookRecord
	if n, err := b.Size(ctx, b.origin); err == nil && n == 0 {
		return ledger.Header{}, rec, &UnusableError{Damaged: true, What: fmt.Sprintf("the book %s has no entries of its own ledger, %s", b.path, b.origin),
			Next: "if ringtrue init was broken off, remove the file and start again; else move it aside and go on from a backup: ringtrue book restore BACKUP"}
	}
	h, err := b.Entry(ctx, b.refs.of(b.origin, 1), nil)
	if err != nil {
		return h, rec, err
	}
	if err := ledger.Decode(h.Data, &rec); err != nil || h.Kind != KindBook {
		return h, rec, &UnusableError{Damaged: true, What: fmt.Sprintf("the first entry of the book %s does not open a book", b.path), Next: verifyNext}
	}
	return h, rec, nil
}

// Zone is the book's time zone.
func (b *Book) Zone() *time.Location { return b.zone }

// Origin names this device's own ledger.
func (b *Book) Origin() string { return b.origin }

// Path is the book's file.
func (b *Book) Path() string { return b.path }

// Name writes a ref for a reader and for --json: "origin#seq"; Short drops the origin where the book has only one.
func (b *Book) Name(ref training.Ref) string {
	origin, seq, err := b.refs.split(ref)
	if err != nil {
		return "unknown"
	}
	return ledger.Ref(origin, seq)
}

// Short writes a ref as people type it: "412", or "origin#412" for another device's entry.
func (b *Book) Short(ref training.Ref) string {
	origin, seq, err := b.refs.split(ref)
	if err != nil || origin != b.origin {
		return b.Name(ref)
	}
	return fmt.Sprint(seq)
}

// Close closes the book.
func (b *Book) Close() error {
	var err error
	for _, s := range b.stmts {
		err = errors.Join(err, s.Close())
	}
	if b.second != nil {
		err = errors.Join(err, b.second.Close())
	}
	return errors.Join(err, b.conn.Close(), b.db.Close())
}
