package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	sqlite "github.com/mattn/go-sqlite3"
)

// The SQLite database header, https://www.sqlite.org/fileformat2.html §1.3: magic 0..15, page size 16..17, page
// count 28..31, user version 60..63, application id 68..71, all big endian.
const (
	headerSize  = 100
	headerMagic = "SQLite format 3\x00"
)

// checkFile looks at the file itself before SQLite does, so that the sentence fits what is wrong.
func checkFile(path string, mode Mode) error {
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return &UnusableError{What: fmt.Sprintf("there is no book at %s", path), Next: "start one: ringtrue init --company NAME --owner NAME --jurisdiction CODE, or name another with --book"}
	}
	if err != nil {
		return &UnusableError{What: fmt.Sprintf("open the book: %v", err), Next: "check who may read the file"}
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if info.IsDir() {
		return &UnusableError{What: fmt.Sprintf("%s is a folder, not a book", path), Next: "name the book's file with --book"}
	}
	if mode == ForWriting && info.Mode().Perm()&0o222 == 0 {
		return &UnusableError{What: fmt.Sprintf("the book %s is read-only; nothing was written", path), Next: "allow writing to the file, or work on the book it was copied from"}
	}
	return checkHeader(path, f, info.Size())
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
	pageSize := int64(be.Uint16(head[16:]))
	if pageSize == 1 {
		pageSize = 65536
	}
	if want := pageSize * int64(be.Uint32(head[28:])); size < want {
		return cut(path, size, want)
	}
	return nil
}

func notOurs(path string) error {
	return &UnusableError{What: fmt.Sprintf("%s is not a ringtrue book", path), Next: "name the book with --book, or start one with ringtrue init"}
}

func cut(path string, size, want int64) error {
	return &UnusableError{Damaged: true, What: fmt.Sprintf("the book %s is cut short: %d of %d bytes are there", path, size, want), Next: restoreNext}
}

const restoreNext = "keep this file as it is, and go on with a backup: ringtrue book restore"

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
	switch e.Code {
	case sqlite.ErrBusy, sqlite.ErrLocked:
		return &UnusableError{What: fmt.Sprintf("%s: the book %s is in use by another program", doing, b.path), Next: "wait until the other one is done, then do it again; nothing was written"}
	case sqlite.ErrReadonly:
		return &UnusableError{What: fmt.Sprintf("%s: the book %s is read-only; nothing was written", doing, b.path), Next: "allow writing to the file and its folder"}
	case sqlite.ErrCorrupt, sqlite.ErrNotADB, sqlite.ErrFormat:
		return &UnusableError{Damaged: true, What: fmt.Sprintf("%s: the book %s is damaged (%v)", doing, b.path, err), Next: restoreNext}
	case sqlite.ErrFull, sqlite.ErrIoErr:
		return &UnusableError{What: fmt.Sprintf("%s: the disk refused (%v); nothing was written", doing, err), Next: "free some space, then do it again"}
	case sqlite.ErrError:
		if strings.Contains(e.Error(), "no such table") || strings.Contains(e.Error(), "no such column") {
			return &UnusableError{Damaged: true, What: fmt.Sprintf("%s: the book %s lacks a table (%v)", doing, b.path, err), Next: restoreNext}
		}
	}
	return fmt.Errorf("%s: %w", doing, err)
}
