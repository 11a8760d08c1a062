-- Why: a recall goes from a lot number to the journals that bear it, without folding a hundred thousand of them.

-- Words under which a journal is found; as throw-away as the summaries, and written with them.
CREATE TABLE journal_tag (
  tag        TEXT    NOT NULL CHECK (tag <> ''),
  journal_no INTEGER NOT NULL REFERENCES journal (no),
  PRIMARY KEY (tag, journal_no)
) STRICT, WITHOUT ROWID;

CREATE INDEX journal_tag_by_journal ON journal_tag (journal_no);
