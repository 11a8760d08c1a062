-- Why: pictures of skin are kept beside the journal, under the digest that a fact names.

-- A picture belongs to one journal. `bytes` is NULL once it was erased (consent withdrawn): that it was there stays known. Rowids,
-- because a row is large: without them each step through the index would pass over the pictures themselves.
CREATE TABLE blob (
  no         INTEGER PRIMARY KEY,
  journal_no INTEGER NOT NULL REFERENCES journal (no),
  digest     BLOB    NOT NULL CHECK (length(digest) = 32),
  media      TEXT    NOT NULL CHECK (media <> ''),
  size       INTEGER NOT NULL CHECK (size > 0),
  bytes      BLOB,
  UNIQUE (journal_no, digest)
) STRICT;
