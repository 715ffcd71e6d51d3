package store

import (
	"encoding/binary"
	"errors"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// A packed fact is 40 bytes, little endian: kind, code, number of cited entries, 0, by (4), day (4), until (4),
// happened (8), recorded (8), entry (8); then 8 bytes for each cited entry. A row of the fact table holds up to
// about partSize bytes of them, in the order in which the entries reached this book.
const (
	packedFact = 40
	partSize   = 128 * packedFact
	maxCites   = 255 // their number has one byte
)

var errPacked = errors.New("a derived row is cut short or overwritten")

func pack(b []byte, f training.Fact) []byte {
	le := binary.LittleEndian
	b = append(b, byte(f.Kind), f.Code, byte(len(f.Cites)), 0)
	b = le.AppendUint32(b, f.By)
	b = le.AppendUint32(b, uint32(f.Day))
	b = le.AppendUint32(b, uint32(f.Until))
	b = le.AppendUint64(b, uint64(f.At))
	b = le.AppendUint64(b, uint64(f.Recorded))
	b = le.AppendUint64(b, uint64(f.Entry))
	for _, c := range f.Cites {
		b = le.AppendUint64(b, uint64(c))
	}
	return b
}

// packedLen is the length of the fact at the start of a row, 0 if there is none.
func packedLen(row []byte) int {
	if len(row) < packedFact || len(row) < packedFact+8*int(row[2]) || row[3] != 0 {
		return 0
	}
	return packedFact + 8*int(row[2])
}

// packedEntry is the entry that the fact at the start of a row comes from.
func packedEntry(row []byte) int64 { return int64(binary.LittleEndian.Uint64(row[32:])) }

func unpack(to []training.Fact, b []byte) ([]training.Fact, error) {
	le := binary.LittleEndian
	for len(b) > 0 {
		if packedLen(b) == 0 {
			return to, errPacked
		}
		f := training.Fact{
			Kind: training.FactKind(b[0]), Code: b[1], By: le.Uint32(b[4:]),
			Day: civil.Day(le.Uint32(b[8:])), Until: civil.Day(le.Uint32(b[12:])),
			At: int64(le.Uint64(b[16:])), Recorded: int64(le.Uint64(b[24:])), Entry: training.Ref(le.Uint64(b[32:])),
		}
		n := int(b[2])
		b = b[packedFact:]
		for range n {
			f.Cites = append(f.Cites, training.Ref(le.Uint64(b)))
			b = b[8:]
		}
		to = append(to, f)
	}
	return to, nil
}
