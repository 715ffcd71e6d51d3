package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	sqlite "github.com/mattn/go-sqlite3"
)

// The SQLite database header, https://www.sqlite.org/fileformat2.html §1.3: magic 0..15, page size 16..17, change
// counter 24..27, page count 28..31, user version 60..63, application id 68..71, the change counter for which the
// page count holds 92..95, all big endian.
const (
	headerSize  = 100
	headerMagic = "SQLite format 3\x00"
)

// checkFile looks at the file itself before SQLite does, so that the sentence fits what is wrong, and so that a file
// of another program is not touched.
func checkFile(path string, mode Mode) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return &UnusableError{What: fmt.Sprintf("there is no book at %s", path), Next: "start one: ringtrue init --company NAME --owner NAME --jurisdiction CODE, or name another with --book"}
	case err != nil:
		return notOpened(err)
	case info.IsDir():
		return &UnusableError{What: fmt.Sprintf("%s is a folder, not a book", path), Next: "name the book's file with --book"}
	case !info.Mode().IsRegular(): // opening a pipe would wait for ever
		return notOurs(path)
	}
	f, err := os.Open(path)
	if err != nil {
		return notOpened(err)
	}
	defer f.Close()
	if err := checkHeader(path, f, info.Size()); err != nil {
		return err
	}
	return checkWritable(path, mode, info)
}

func notOpened(err error) error {
	return &UnusableError{What: fmt.Sprintf("open the book: %v", err), Next: "check who may read the file"}
}

// checkWritable looks at the mode bits too, because they do not hold back an administrator.
func checkWritable(path string, mode Mode, info os.FileInfo) error {
	if mode != ForWriting {
		return nil
	}
	if info.Mode().Perm()&0o222 == 0 {
		return &UnusableError{What: fmt.Sprintf("the book %s is read-only; nothing was written", path), Next: "allow writing to the file, or work on the book it was copied from"}
	}
	if dir := filepath.Dir(path); !writable(dir) {
		return &UnusableError{What: fmt.Sprintf("the folder %s takes no files, and a book is written with others beside it; nothing was written", dir), Next: "allow writing to the folder, or work on the book it was copied from"}
	}
	return nil
}

func checkHeader(path string, f io.Reader, size int64) error {
	head := make([]byte, headerSize)
	n, err := io.ReadFull(f, head)
	if err != nil || string(head[:16]) != headerMagic {
		if n > 0 && n < headerSize && strings.HasPrefix(headerMagic, string(head[:min(n, 16)])) {
			return cut(path, size, headerSize)
		}
		return notOurs(path)
	}
	be := binary.BigEndian
	if be.Uint32(head[68:]) != applicationID {
		return notOurs(path)
	}
	if v := be.Uint32(head[60:]); v > version {
		return &UnusableError{What: fmt.Sprintf("the book %s was written by a newer ringtrue (book version %d; this program knows up to %d)", path, v, version), Next: "install that version; this one does not touch the book"}
	}
	return checkSize(path, head, size)
}

// checkSize compares the size with the page count of the header, where that count is up to date and no log stands
// beside the file: a log's pages may not have reached the file yet.
func checkSize(path string, head []byte, size int64) error {
	be := binary.BigEndian
	if hasLog(path) || be.Uint32(head[24:]) != be.Uint32(head[92:]) {
		return nil
	}
	pageSize := int64(be.Uint16(head[16:]))
	if pageSize == 1 {
		pageSize = 65536
	}
	if want := pageSize * int64(be.Uint32(head[28:])); size < want {
		return cut(path, size, want)
	}
	return nil
}

// hasLog reports whether a write-ahead log with anything in it stands beside the book.
func hasLog(path string) bool {
	info, err := os.Stat(path + "-wal")
	return err == nil && info.Size() > 0
}

func notOurs(path string) error {
	return &UnusableError{What: fmt.Sprintf("%s is not a ringtrue book", path), Next: "name the book with --book, or start one with ringtrue init"}
}

func cut(path string, size, want int64) error {
	return &UnusableError{Damaged: true, What: fmt.Sprintf("the book %s is cut short: %d of %d bytes are there", path, size, want), Next: restoreNext}
}

// What to do next, where several sentences say the same.
const (
	restoreNext = "move this file aside and keep it, then go on from a backup: ringtrue book restore BACKUP"
	verifyNext  = "see the whole extent: ringtrue book verify"
	rebuildNext = "refill the derived rows: ringtrue book rebuild"
	lackingNext = "derived tables are made anew by: ringtrue book rebuild; if that is refused, go on from a backup: ringtrue book restore BACKUP"
)

func writable(dir string) bool {
	info, err := os.Stat(dir)
	if err != nil || info.Mode().Perm()&0o222 == 0 {
		return false
	}
	f, err := os.CreateTemp(dir, ".ringtrue-*")
	if err != nil {
		return false
	}
	_ = f.Close()
	return os.Remove(f.Name()) == nil
}

// explain turns the driver's errors into sentences, in one place.
func (b *Book) explain(doing string, err error) error {
	if err == nil {
		return nil
	}
	e, ok := errors.AsType[sqlite.Error](err)
	if !ok {
		return fmt.Errorf("%s: %w", doing, err)
	}
	unusable := func(what, next string) error { return &UnusableError{What: doing + ": " + what, Next: next} }
	switch e.Code {
	case sqlite.ErrBusy, sqlite.ErrLocked, sqlite.ErrProtocol:
		return unusable(fmt.Sprintf("the book %s is in use by another program", b.path), "wait until the other one is done, then do it again; nothing was written")
	case sqlite.ErrReadonly:
		if e.ExtendedCode == sqlite.ErrReadonlyRollback {
			return unusable(fmt.Sprintf("a write to the book %s was broken off, and the file beside it that undoes it, -journal, waits for a command that writes", b.path), "let it be undone: ringtrue book rebuild")
		}
		return unusable(fmt.Sprintf("the book %s is read-only; nothing was written", b.path), "allow writing to the file and its folder")
	case sqlite.ErrCantOpen, sqlite.ErrPerm:
		return unusable(fmt.Sprintf("the system does not let the book %s be opened (%v)", b.path, err), "check who may read the file, or copy it, with the files beside it, to a folder that can be written")
	case sqlite.ErrFull:
		return unusable("the disk is full; nothing was written", "free some space, then do it again")
	case sqlite.ErrIoErr:
		return unusable(fmt.Sprintf("the disk refused (%v)", err), "check the disk, copy the book to another one, then see: ringtrue book verify")
	case sqlite.ErrCorrupt, sqlite.ErrNotADB, sqlite.ErrFormat:
		return &UnusableError{Damaged: true, What: fmt.Sprintf("%s: the book %s is damaged (%v)", doing, b.path, err), Next: restoreNext}
	case sqlite.ErrError:
		if strings.Contains(e.Error(), "no such table") || strings.Contains(e.Error(), "no such column") {
			return &UnusableError{Damaged: true, What: fmt.Sprintf("%s: the book %s lacks a table (%v)", doing, b.path, err), Next: lackingNext}
		}
		return &UnusableError{Damaged: true, What: fmt.Sprintf("%s: the tables of the book %s are not as ringtrue makes them (%v)", doing, b.path, err), Next: verifyNext}
	case sqlite.ErrConstraint:
		return &UnusableError{Damaged: true, What: fmt.Sprintf("%s: the rows in the book %s are not as ringtrue writes them (%v); nothing was written", doing, b.path, err), Next: verifyNext}
	}
	return fmt.Errorf("%s: %w", doing, err)
}

// misread explains why a row could not be taken: where it is not SQLite's error, the row is not of the shape that the
// tables promise.
func (b *Book) misread(err error) error {
	if _, ok := errors.AsType[sqlite.Error](err); ok || err == nil {
		return b.explain("read the book", err)
	}
	return &UnusableError{Damaged: true, What: fmt.Sprintf("read the book: the book %s is damaged (%v)", b.path, err), Next: restoreNext}
}
