-- Who may open a restricted record. Rows are only added: the last of a child holds, the others are its history.
-- `people` has the ids of the people named, separated by commas; NULL where the restriction was lifted.
CREATE TABLE restrictions (
    number INTEGER PRIMARY KEY,
    child  BLOB NOT NULL CHECK (length(child) = 16),
    by     BLOB NOT NULL CHECK (length(by) = 16),
    at     INTEGER NOT NULL,
    reason TEXT NOT NULL,
    people TEXT
) STRICT;
CREATE INDEX restrictions_of_child ON restrictions (child, number);

-- Openings of restricted records by people who are not named, until a time; and which lead has seen which.
CREATE TABLE restricted_openings (
    number INTEGER PRIMARY KEY,
    child  BLOB NOT NULL CHECK (length(child) = 16),
    by     BLOB NOT NULL CHECK (length(by) = 16),
    at     INTEGER NOT NULL,
    until  INTEGER NOT NULL,
    reason TEXT NOT NULL,
    device TEXT NOT NULL
) STRICT;
CREATE TABLE seen_openings (
    opening INTEGER NOT NULL,
    lead    BLOB NOT NULL CHECK (length(lead) = 16),
    at      INTEGER NOT NULL,
    PRIMARY KEY (opening, lead)
) STRICT, WITHOUT ROWID;

-- How long the access log was on each day and its last hash, so that a tail that was cut off is found.
CREATE TABLE access_heads (
    day  INTEGER PRIMARY KEY,
    at   INTEGER NOT NULL,
    rows INTEGER NOT NULL,
    head BLOB NOT NULL CHECK (length(head) = 32)
) STRICT;

-- Requests to erase. `entries` has the ids of single entries separated by commas; NULL for the whole record.
-- Decided by a second person: done, or not.
CREATE TABLE erasure_requests (
    number     INTEGER PRIMARY KEY,
    child      BLOB NOT NULL CHECK (length(child) = 16),
    entries    TEXT,
    by         BLOB NOT NULL CHECK (length(by) = 16),
    at         INTEGER NOT NULL,
    reason     TEXT NOT NULL,
    basis      TEXT NOT NULL,
    decided_by BLOB CHECK (length(decided_by) = 16),
    decided_at INTEGER,
    done       INTEGER,
    decision   TEXT
) STRICT;
-- What an erasure removed, by kind of entry.
CREATE TABLE erased_kinds (
    request INTEGER NOT NULL REFERENCES erasure_requests (number),
    kind    TEXT NOT NULL,
    count   INTEGER NOT NULL,
    PRIMARY KEY (request, kind)
) STRICT, WITHOUT ROWID;

-- Until which day a record is kept whatever the retention period says. Rows are only added: the last of a child
-- holds; `until` is NULL where the hold was lifted.
CREATE TABLE holds (
    number INTEGER PRIMARY KEY,
    child  BLOB NOT NULL CHECK (length(child) = 16),
    until  INTEGER,
    by     BLOB NOT NULL CHECK (length(by) = 16),
    at     INTEGER NOT NULL,
    reason TEXT NOT NULL
) STRICT;
CREATE INDEX holds_of_child ON holds (child, number);
