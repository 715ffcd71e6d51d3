package main

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"path/filepath"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// A spool holds the entries of one sheet between the one pass over the book and the writing of that sheet, so that no
// entry is looked up by itself. It is a file in a private folder and holds what entries hold: ids, no names.
type spool struct {
	file *os.File
	out  *bufio.Writer
	rows int // of the sheet, so far
}

// Sizes of a spool: its buffer, and the head of a record: ref, whose signature, length of the body.
const (
	spoolBuffer = 1 << 16
	spoolHead   = 8 + 1 + 4
)

// spooled is an entry read back; its bytes are valid until the next one is taken.
type spooled struct {
	ref    training.Ref
	signed signature
	ledger.Header
}

func newSpool(dir, name string) (*spool, error) {
	f, err := os.OpenFile(filepath.Join(dir, name), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	return &spool{file: f, out: bufio.NewWriterSize(f, spoolBuffer)}, nil
}

// add keeps an entry.
func (s *spool) add(ref training.Ref, signed signature, body []byte) error {
	var head [spoolHead]byte
	binary.LittleEndian.PutUint64(head[:], uint64(ref))
	head[8] = byte(signed)
	binary.LittleEndian.PutUint32(head[9:], uint32(len(body)))
	_, err := s.out.Write(head[:])
	if err == nil {
		_, err = s.out.Write(body)
	}
	return err
}

// reader reads the spool from its beginning.
func (s *spool) reader() (*bufio.Reader, error) {
	if err := s.out.Flush(); err != nil {
		return nil, err
	}
	at, err := s.file.Stat()
	if err != nil {
		return nil, err
	}
	return bufio.NewReaderSize(io.NewSectionReader(s.file, 0, at.Size()), spoolBuffer), nil
}

// all gives the entries in the order in which they were kept.
func (s *spool) all() iter.Seq2[spooled, error] {
	return func(yield func(spooled, error) bool) {
		in, err := s.reader()
		if err != nil {
			yield(spooled{}, err)
			return
		}
		var head [spoolHead]byte
		var body []byte
		for {
			_, err := io.ReadFull(in, head[:])
			if errors.Is(err, io.EOF) {
				return
			}
			one := spooled{ref: training.Ref(binary.LittleEndian.Uint64(head[:])), signed: signature(head[8])}
			if err == nil {
				n := int(binary.LittleEndian.Uint32(head[9:]))
				if cap(body) < n {
					body = make([]byte, n)
				}
				_, err = io.ReadFull(in, body[:n])
				if err == nil {
					one.Header, err = ledger.ReadHeader(body[:n])
				}
			}
			if err != nil {
				yield(one, fmt.Errorf("read what was put aside: %w", err))
				return
			}
			if !yield(one, nil) {
				return
			}
		}
	}
}

// leaf keeps only a leaf hash; leaves reads them back.
func (s *spool) leaf(leaf [32]byte) error {
	_, err := s.out.Write(leaf[:])
	return err
}

func (s *spool) leaves() iter.Seq2[[32]byte, error] {
	return func(yield func([32]byte, error) bool) {
		in, err := s.reader()
		for err == nil {
			var leaf [32]byte
			if _, err = io.ReadFull(in, leaf[:]); err == nil && !yield(leaf, nil) {
				return
			}
		}
		if !errors.Is(err, io.EOF) {
			yield([32]byte{}, err)
		}
	}
}

// signature says what an entry's signature is worth.
type signature byte

const (
	notSigned signature = iota
	signedOwn
	signedByCompany
	signedBadly
)

// String is how a sheet tells it.
func (s signature) String() string {
	return [...]string{"not personally signed", "signed", "signed by the company", "SIGNATURE CANNOT BE TRUSTED"}[s]
}
