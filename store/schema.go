package store

import "fmt"

// The identity of a book file. A file with another application id is not ours; one with a higher version was
// written by a newer program.
const (
	applicationID = 0x52696e67 // "Ring"
	version       = 1
)

// schema is version 1. The ledger is entry; person holds what may be forgotten; device is this file's own origin.
// fact, struck and origin are derived from the ledger, written in the same transaction, and can be refilled at any
// time (rebuild). facts packs many facts in one row, because questions read many at once; see pack.go.
var schema = fmt.Sprintf(`
PRAGMA page_size = 8192;
PRAGMA application_id = %d;
PRAGMA user_version = %d;

CREATE TABLE entry (
  origin TEXT NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  body BLOB NOT NULL,
  leaf BLOB NOT NULL CHECK (length(leaf) = 32),
  sig BLOB,
  PRIMARY KEY (origin, seq)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER entry_kept BEFORE DELETE ON entry
BEGIN SELECT raise(ABORT, 'an entry is never removed'); END;
CREATE TRIGGER entry_unchanged BEFORE UPDATE ON entry
BEGIN SELECT raise(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_next BEFORE INSERT ON entry
WHEN NEW.seq <> 1 + coalesce((SELECT max(seq) FROM entry WHERE origin = NEW.origin), 0)
BEGIN SELECT raise(ABORT, 'an entry goes only to the end of its ledger'); END;

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
`, applicationID, version)
