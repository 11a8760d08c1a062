-- Why: readings come by the hundred thousand, a day of one person in a row; and a list reads only the summaries that changed.

-- A day of one person, packed, named by what is in it. Not chained: the journal holds the fact of the import. `day` counts from
-- 1970-01-01 and is the person's own.
CREATE TABLE journal_block (
  journal_no INTEGER NOT NULL REFERENCES journal (no),
  kind       INTEGER NOT NULL CHECK (kind BETWEEN 0 AND 65535),
  day        INTEGER NOT NULL,
  version    INTEGER NOT NULL CHECK (version >= 1),
  digest     BLOB    NOT NULL CHECK (length(digest) = 32),
  bytes      BLOB    NOT NULL,
  PRIMARY KEY (journal_no, kind, day)
) STRICT, WITHOUT ROWID;

-- Each row that is put takes the next number. The origin says whose numbers they are: it is drawn anew when all rows are dropped.
CREATE TABLE summary_stamp (
  one    INTEGER PRIMARY KEY CHECK (one = 1),
  origin INTEGER NOT NULL,
  number INTEGER NOT NULL
) STRICT;
INSERT INTO summary_stamp (one, origin, number) VALUES (1, random() | 1, 0);

ALTER TABLE summary ADD COLUMN stamp INTEGER NOT NULL DEFAULT 0;
CREATE INDEX summary_by_stamp ON summary (stamp);
