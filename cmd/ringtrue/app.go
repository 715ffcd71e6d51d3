package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"sync/atomic"
	"time"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	sheetwords "example.org/ringtrue/store/page/words"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// app is what commands share: the streams and clock, the global flags, and the open book with what was read of it.
type app struct {
	env
	ctx  context.Context
	path string
	as   string
	json bool

	plainly bool // ask line by line, even where forms could be drawn

	misnamed error // help was asked for a command that is not there

	unreadable atomic.Pointer[error] // a look behind an answer could not be read

	phraseFD string                   // file descriptor that passphrases come from, "" = the terminal
	phrases  *bufio.Reader            // it, once opened
	keys     *ledger.Keys             // those the book knows, once read
	signers  map[string]ledger.Signer // keys opened by this command, by name

	book     *store.Book
	opening  store.BookRecord
	opened   civil.Day // day on which the book was opened
	writing  bool      // the book is open for writing
	marked   bool      // the demo mark stands on this output
	trying   bool      // nothing that is appended will be kept, so nobody signs it; see tryAll
	people   *people
	tongue   *sheetwords.Speaker      // language of answers, nil = English; see speak
	editions map[training.Ref]any     // catalogues and appointments by entry: entries never change, so they are read once
	judged   map[judgedBy]house.House // house rules under their floors
}

func (a *app) close() {
	if a.book != nil {
		_ = a.book.Close()
	}
}

// bookPath is --book, else $RINGTRUE_BOOK, else a file in the user data folder.
func (a *app) bookPath() (string, error) {
	if a.path != "" {
		return filepath.Abs(a.path)
	}
	if p := a.getenv("RINGTRUE_BOOK"); p != "" {
		return filepath.Abs(p)
	}
	dir := a.getenv("XDG_DATA_HOME")
	if dir == "" {
		home, err := os.UserHomeDir()
		if err != nil {
			return "", refuse("name the book with --book", "find the user data folder: %v", err)
		}
		dir = filepath.Join(home, ".local", "share")
	}
	return filepath.Join(dir, "ringtrue", "book.db"), nil
}

// read opens the book for questions; write opens it for entries.
func (a *app) read() error  { return a.open(store.ForReading) }
func (a *app) write() error { return a.open(store.ForWriting) }

func (a *app) open(mode store.Mode) error {
	if a.book != nil && (a.writing || mode == store.ForReading) {
		return nil
	}
	path, err := a.bookPath()
	if err != nil {
		return err
	}
	b, err := store.Open(a.ctx, path, mode)
	if err != nil {
		return err
	}
	h, rec, err := b.Opening(a.ctx)
	if err != nil {
		return errors.Join(err, b.Close())
	}
	if rec.Demo && mode == store.ForWriting && !a.trying {
		_ = b.Close()
		return refuse("start a book of your own: ringtrue init --help", "the book %s is an invented demo and takes no real entries", path)
	}
	a.use(b, rec, h.Happened, mode == store.ForWriting)
	return nil
}

// use makes b the book that commands work on, in place of one opened before: while that one reads, what is written stays in the
// log beside the book and does not get into the book's one file.
func (a *app) use(b *store.Book, rec store.BookRecord, opened time.Time, writing bool) {
	if a.book != b {
		a.close()
	}
	a.book, a.opening, a.opened, a.writing = b, rec, civil.Of(opened, b.Zone()), writing
	a.people, a.editions, a.judged, a.keys = nil, map[training.Ref]any{}, map[judgedBy]house.House{}, nil
	a.opened = a.founded(a.opened)
}

// append adds entries in the name of the acting person and returns their refs. Here, and nowhere else, decisions are
// signed; see signedKinds.
func (a *app) append(es []ledger.Entry, persons ...store.Person) ([]training.Ref, error) {
	es, err := a.signing(es)
	if err != nil {
		return nil, err
	}
	refs, err := a.book.Append(a.ctx, a.now(), es, persons...)
	if err == nil && len(persons) > 0 {
		a.people = nil
	}
	if slices.ContainsFunc(es, func(e ledger.Entry) bool { return e.Kind == ledger.KindKey || e.Kind == ledger.KindKeyEnd }) {
		a.keys = nil
	}
	return refs, err
}

// hurry lets memory grow more before it is collected, for commands that read the whole book and keep little; the
// function it returns ends that. A quarter of the time of a verification would go into collecting.
func hurry() func() {
	before := debug.SetGCPercent(400)
	return func() { debug.SetGCPercent(before) }
}

// sparing has memory collected more often where much is in use, so that writing the workbook of a million entries stays
// under 150 MB beside hurry; the function it returns ends that.
func sparing() func() {
	before := debug.SetMemoryLimit(100 << 20)
	return func() { debug.SetMemoryLimit(before) }
}

// demoMark stands on every output of a demo book.
const demoMark = "INVENTED DEMO"

// say prints a line of an answer, after the mark of a demo book; on a terminal a long one wraps.
func (a *app) say(format string, args ...any) {
	fmt.Fprintln(a.out, wrapped(fmt.Sprintf(format, args...), columns(a.out)))
}

// mark prints the demo mark, where the book is one, once and before anything else of an answer.
func (a *app) mark() {
	if a.opening.Demo && !a.marked {
		a.marked = true
		a.say(demoMark)
	}
}

// printJSON writes one object on one line. The mark of a demo book is its first field.
func (a *app) printJSON(v any) error {
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return err
	}
	line := text.Bytes()
	if a.opening.Demo {
		fmt.Fprintf(a.out, `{"demo":%q,`, demoMark)
		line = line[1:]
	}
	_, err := a.out.Write(line)
	return err
}

// local writes a moment in the book's zone as people read it.
func (a *app) local(t time.Time) string { return t.In(a.book.Zone()).Format("2006-01-02 15:04") }
