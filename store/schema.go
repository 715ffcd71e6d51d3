package store

import (
	"fmt"
	"strings"
)

// The identity of a book file. A file with another application id is not ours; one with a higher version was
// written by a newer program.
const (
	applicationID = 0x52696e67 // "Ring"
	version       = 2
)

// pageSize holds a dozen entries a page; it must be said before the file has a page.
const pageSize = `PRAGMA page_size = 8192; `

// Version 1 of the tables. The ledger is entry; person holds what may be forgotten; device is this file's own origin.
const ledgerTables = `
CREATE TABLE entry (
  origin TEXT NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  body BLOB NOT NULL,
  leaf BLOB NOT NULL CHECK (length(leaf) = 32),
  sig BLOB,
  PRIMARY KEY (origin, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE person (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  handle TEXT NOT NULL UNIQUE,
  contact TEXT NOT NULL,
  salt BLOB NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE device (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  origin TEXT NOT NULL
) STRICT;
`

// keyTables are what version 2 adds: private keys, which no entry holds. sealed has people's keys by key name, each
// closed with its owner's passphrase (age format, armoured); device_key is the key with which this device signs seals. They may
// be there in a book whose version was set back.
const keyTables = `
CREATE TABLE IF NOT EXISTS sealed (
  key TEXT PRIMARY KEY,
  armoured TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE IF NOT EXISTS device_key (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  seed BLOB NOT NULL CHECK (length(seed) = 32),
  verifier TEXT NOT NULL
) STRICT;
`

// added says what each version adds to the tables of the one before it. Versions only add, so that older books need
// no more than this.
var added = map[int]string{2: keyTables}

type guard struct{ name, text string }

// guards protect entries against slips of programs, ours included. Whoever has the file can drop them: the evidence
// is the tree.
var guards = []guard{
	{"entry_kept", `CREATE TRIGGER entry_kept BEFORE DELETE ON entry
BEGIN SELECT raise(ABORT, 'an entry is never removed'); END`},
	{"entry_unchanged", `CREATE TRIGGER entry_unchanged BEFORE UPDATE ON entry
BEGIN SELECT raise(ABORT, 'an entry is never changed'); END`},
	{"entry_next", `CREATE TRIGGER entry_next BEFORE INSERT ON entry
WHEN NEW.seq <> 1 + coalesce((SELECT max(seq) FROM entry WHERE origin = NEW.origin), 0)
BEGIN SELECT raise(ABORT, 'an entry goes only to the end of its ledger'); END`},
}

// derivedTables are filled from the ledger, in the same transaction, and can be refilled at any time (rebuild).
// facts packs many facts in one row, because questions read many at once; see pack.go.
const derivedTables = `
CREATE TABLE origin (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE fact (
  subject TEXT NOT NULL,
  topic TEXT NOT NULL,
  part INTEGER NOT NULL,
  facts BLOB NOT NULL,
  PRIMARY KEY (subject, topic, part)
) STRICT, WITHOUT ROWID;

CREATE TABLE struck (
  entry INTEGER PRIMARY KEY,
  "by" INTEGER NOT NULL,
  recorded INTEGER NOT NULL
) STRICT;
`

const dropDerived = `DROP TABLE IF EXISTS origin; DROP TABLE IF EXISTS fact; DROP TABLE IF EXISTS struck;`

// made gives by name the text of every table as SQLite keeps it; derived says which of them a rebuild makes anew.
func made() (texts map[string]string, derived map[string]bool) {
	texts, derived = map[string]string{}, map[string]bool{}
	for _, tables := range []string{ledgerTables, keyTables, derivedTables} {
		for one := range strings.SplitSeq(tables, ";") {
			text := strings.Replace(strings.TrimSpace(one), "TABLE IF NOT EXISTS ", "TABLE ", 1)
			rest, ok := strings.CutPrefix(text, "CREATE TABLE ")
			if !ok {
				continue
			}
			name, _, _ := strings.Cut(rest, " ")
			texts[name], derived[name] = text, tables == derivedTables
		}
	}
	return texts, derived
}

// schema makes a whole new book.
func schema() string {
	text := fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d;", applicationID, version) + ledgerTables + keyTables
	for _, g := range guards {
		text += g.text + ";\n"
	}
	return text + derivedTables
}
