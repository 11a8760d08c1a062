-- A store as the program of schema 2 left it: two journals, four facts, one of them erased, a summary, a setting, a picture and an erased one.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL, sha256 TEXT NOT NULL) STRICT;
INSERT INTO migration VALUES(1,'0001_journal.sql','7577e0a5fd835fbc7dc8b7fcbfed02f945494ca3ea966341e57e6db8ae9d8cda');
INSERT INTO migration VALUES(2,'0002_blob.sql','4d6a2d08d99b8b686d42221429e062e37b5fedec55b9ebef8d0e0aca85f2f6bf');
INSERT INTO migration VALUES(3,'0003_tag.sql','50d8983592a5e2f1df1f5718d286f8f6b6d326b9cb3ef731c12d9dc0f97a07dc');
CREATE TABLE journal (
  no        INTEGER PRIMARY KEY,
  id        BLOB    NOT NULL UNIQUE CHECK (length(id) = 16),
  subject   INTEGER NOT NULL CHECK (subject IN (1, 2)),
  version   INTEGER NOT NULL DEFAULT 0 CHECK (version >= 0),
  head      BLOB    NOT NULL DEFAULT (zeroblob(32)) CHECK (length(head) = 32),
  read_only TEXT    NOT NULL DEFAULT ''
) STRICT;
INSERT INTO journal VALUES(1,X'9e3779b97f4a7c150000000000000001',1,3,X'29b39f985e5468ae5299eff15af30eff6c9d2d241f7817c9660b1c72b0b8f7aa','');
INSERT INTO journal VALUES(2,X'9e3779b97f4a7c150000000000000002',2,1,X'48c46b715767df42e4c2a4663d55f76387d9ccce3e30c84b70f5c6fdff8ecf75','');
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
INSERT INTO entry VALUES(1,1,X'000000000000f00d0000000000000001',1,1,1800000001,X'2ea053a2f2616f2317d446fd012ffb48cc1744f4f50d15c65b0f83fb41c80d30',X'9b376a63ad1f0727ec409604536ff339f32c06f408e01ee37fd410391fa86ea9',X'7072696d6564203220756e6974732c20666c6f77207365656e2c206e756d6265722031');
INSERT INTO entry VALUES(1,2,X'000000000000f00d0000000000000002',2,1,1800000002,X'b56d8a64e9f9d7bf1028794c683fe616561439808024349c02bdd3d744a18fc9',X'0236fe42a4892dd69f2c3991271b054729837d8d2b459d82d32a98f7a5ae5fd8',NULL);
INSERT INTO entry VALUES(1,3,X'000000000000f00d0000000000000003',3,1,1800000003,X'1e7d0a1e2639c924359a9c1080446c22295daa0bbb8c8f16eb0763544a1aa8a1',X'29b39f985e5468ae5299eff15af30eff6c9d2d241f7817c9660b1c72b0b8f7aa',X'7072696d6564203220756e6974732c20666c6f77207365656e2c206e756d6265722033');
INSERT INTO entry VALUES(2,1,X'000000000000f00d0000000000000004',4,1,1800000004,X'0974340e4e0fbac0d18fb73476d43e5a2db4e8f4836301eadadd8d31592dfbf0',X'48c46b715767df42e4c2a4663d55f76387d9ccce3e30c84b70f5c6fdff8ecf75',X'7072696d6564203220756e6974732c20666c6f77207365656e2c206e756d6265722034');
CREATE TABLE summary (
  journal_no      INTEGER PRIMARY KEY REFERENCES journal (no),
  journal_version INTEGER NOT NULL,
  fold_version    INTEGER NOT NULL,
  search_key      TEXT    NOT NULL,
  next_change     INTEGER,
  bytes           BLOB    NOT NULL
) STRICT;
INSERT INTO summary VALUES(1,3,1,'lind maja 2015-08-30',1800000000,X'0102');
CREATE TABLE setting (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO setting VALUES('clinic name','Harbour Street Clinic');
CREATE TABLE blob (
  no         INTEGER PRIMARY KEY,
  journal_no INTEGER NOT NULL REFERENCES journal (no),
  digest     BLOB    NOT NULL CHECK (length(digest) = 32),
  media      TEXT    NOT NULL CHECK (media <> ''),
  size       INTEGER NOT NULL CHECK (size > 0),
  bytes      BLOB,
  UNIQUE (journal_no, digest)
) STRICT;
INSERT INTO blob VALUES(1,1,X'd1c860694b11c19fef77f1fcdcfaa2801d2981e13a0d9ff464f3085f9aa6aa6f','image/png',29,X'89504e470d0a1a0a612070696374757265206f6620736368656d612032');
INSERT INTO blob VALUES(2,1,X'1dd9fb612aac31eccdb1690a1ce14107cc79e9c70e2fc1485bf238b026c4f8dc','image/jpeg',6,NULL);
CREATE TABLE journal_tag (
  tag        TEXT    NOT NULL CHECK (tag <> ''),
  journal_no INTEGER NOT NULL REFERENCES journal (no),
  PRIMARY KEY (tag, journal_no)
) STRICT, WITHOUT ROWID;
INSERT INTO journal_tag VALUES('lot/AB12',1);
INSERT INTO journal_tag VALUES('lot/N7',1);
CREATE INDEX journal_tag_by_journal ON journal_tag (journal_no);
CREATE INDEX summary_by_change ON summary (next_change);
CREATE INDEX summary_by_key ON summary (search_key);
COMMIT;
PRAGMA application_id = 1347638347;
PRAGMA user_version = 3;
