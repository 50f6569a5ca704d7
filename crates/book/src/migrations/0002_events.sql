-- What is read from the ledger, drawn from it entry by entry; it can always be drawn again.
-- Never edit this file. Whenever what is drawn changes, add a migration (it may hold a remark
-- only): every book is then drawn anew when it is next opened for writing.
CREATE TABLE event (
    seq       INTEGER PRIMARY KEY,        -- the entry that told it first
    carrier   INTEGER NOT NULL,           -- the entry whose body counts: itself or its last correction
    happened  INTEGER NOT NULL,
    kind      TEXT NOT NULL,
    withdrawn INTEGER NOT NULL CHECK (withdrawn IN (0, 1))
) STRICT;

CREATE INDEX event_by_kind ON event (kind, happened, seq);
CREATE INDEX event_by_time ON event (happened, seq);

CREATE TABLE about (
    subject  TEXT NOT NULL,               -- cylinder, person, part
    name     TEXT NOT NULL,
    happened INTEGER NOT NULL,
    seq      INTEGER NOT NULL,
    PRIMARY KEY (subject, name, happened, seq)
) STRICT, WITHOUT ROWID;
