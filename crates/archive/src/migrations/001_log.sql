-- A child's place in this file; small numbers keep the indexes small.
CREATE TABLE children (
    number INTEGER PRIMARY KEY,
    id     BLOB NOT NULL UNIQUE CHECK (length(id) = 16)
) STRICT;

-- The chain of each site: how long it is and its last hash.
CREATE TABLE sites (
    number INTEGER PRIMARY KEY,
    id     BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    length INTEGER NOT NULL,
    head   BLOB NOT NULL CHECK (length(head) = 32)
) STRICT;

-- The log. `place` is the order of writing, `sequence` the place in the chain of the site.
-- `wire` and `salt` are NULL once an entry is erased; `content` and `hash` stay.
CREATE TABLE entries (
    place    INTEGER PRIMARY KEY,
    id       BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    child    INTEGER NOT NULL,
    site     INTEGER NOT NULL,
    sequence INTEGER NOT NULL,
    wire     TEXT,
    salt     BLOB,
    content  BLOB NOT NULL CHECK (length(content) = 32),
    hash     BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;
CREATE INDEX entries_of_child ON entries (child);

-- Erasures, chained like entries.
CREATE TABLE erasures (
    number INTEGER PRIMARY KEY,
    entry  BLOB NOT NULL UNIQUE,
    reason TEXT NOT NULL,
    by     BLOB NOT NULL,
    at     INTEGER NOT NULL,
    hash   BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;
