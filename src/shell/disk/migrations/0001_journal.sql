-- Why: the first schema. Journals, their entries in a chain, what lists need without folding, and a few named settings.

-- A journal's version and head repeat what its last entry says: a chain that was cut short shows.
CREATE TABLE journal (
  no        INTEGER PRIMARY KEY,
  id        BLOB    NOT NULL UNIQUE CHECK (length(id) = 16),
  subject   INTEGER NOT NULL CHECK (subject IN (1, 2)),
  version   INTEGER NOT NULL DEFAULT 0 CHECK (version >= 0),
  head      BLOB    NOT NULL DEFAULT (zeroblob(32)) CHECK (length(head) = 32),
  read_only TEXT    NOT NULL DEFAULT ''
) STRICT;

-- Receipt and payload stand in one row, in the order of the journal: a journal is read in one sweep. `bytes` is NULL once the
-- payload was erased by law; the digest, and so the chain, stays. The hash of the entry before is the row before.
CREATE TABLE entry (
  journal_no   INTEGER NOT NULL REFERENCES journal (no),
  position     INTEGER NOT NULL CHECK (position >= 1),
  fact         BLOB    NOT NULL UNIQUE CHECK (length(fact) = 16),
  type         INTEGER NOT NULL CHECK (type BETWEEN 0 AND 65535),
  type_version INTEGER NOT NULL CHECK (type_version BETWEEN 0 AND 65535),
  recorded     INTEGER NOT NULL,
  digest       BLOB    NOT NULL CHECK (length(digest) = 32),
  hash         BLOB    NOT NULL CHECK (length(hash) = 32),
  bytes        BLOB,
  PRIMARY KEY (journal_no, position)
) STRICT, WITHOUT ROWID;

-- Can be dropped and rebuilt at any time.
CREATE TABLE summary (
  journal_no      INTEGER PRIMARY KEY REFERENCES journal (no),
  journal_version INTEGER NOT NULL,
  fold_version    INTEGER NOT NULL,
  search_key      TEXT    NOT NULL,
  next_change     INTEGER,
  bytes           BLOB    NOT NULL
) STRICT;
CREATE INDEX summary_by_change ON summary (next_change);
CREATE INDEX summary_by_key ON summary (search_key);

CREATE TABLE setting (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
