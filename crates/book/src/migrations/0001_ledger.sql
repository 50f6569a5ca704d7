-- The ledger. Nothing in it is changed or taken away; a correction is a new entry.
-- Never edit this file: a book made by it must always open. Add a new migration instead.
--
-- AUTOINCREMENT keeps the highest number ever given in sqlite_sequence, so that a book whose last
-- entries were cut off shows it.
CREATE TABLE entry (
    seq      INTEGER PRIMARY KEY AUTOINCREMENT,
    recorded INTEGER NOT NULL,            -- microseconds since 1970-01-01 UTC, machine's clock
    happened INTEGER NOT NULL,            -- the same, as the author says
    zone     TEXT NOT NULL,               -- IANA name of the station's zone
    author   TEXT NOT NULL CHECK (author <> ''),
    kind     TEXT NOT NULL CHECK (kind <> ''),
    version  INTEGER NOT NULL CHECK (version > 0),
    body     TEXT NOT NULL CHECK (json_valid(body)),
    prev     BLOB NOT NULL CHECK (length(prev) = 32),
    hash     BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;

CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the book is append-only: write a correction'); END;

CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'the book is append-only: write a correction'); END;

-- INSERT OR REPLACE deletes without firing the trigger above; renumbering begins with a gap.
CREATE TRIGGER entry_next_only BEFORE INSERT ON entry
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'the book is append-only: only the next number may be added'); END;

CREATE TRIGGER entry_chained BEFORE INSERT ON entry
WHEN NEW.prev IS NOT coalesce((SELECT hash FROM entry ORDER BY seq DESC LIMIT 1), zeroblob(32))
BEGIN SELECT RAISE(ABORT, 'the book is append-only: an entry must follow the one before it'); END;
