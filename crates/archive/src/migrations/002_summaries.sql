-- Everything here can be thrown away and computed again from the log.
CREATE TABLE summaries (
    child     INTEGER PRIMARY KEY,
    name_key  TEXT NOT NULL,
    names     TEXT NOT NULL,
    born      INTEGER,
    phase_key TEXT NOT NULL,
    active    INTEGER NOT NULL,
    body      TEXT NOT NULL
) STRICT;
CREATE INDEX summaries_by_name ON summaries (name_key, child, active, phase_key);
CREATE INDEX summaries_by_birth ON summaries (born) WHERE born IS NOT NULL;

CREATE TABLE work (
    kind     INTEGER NOT NULL,
    urgency  INTEGER NOT NULL,
    from_day INTEGER NOT NULL,
    child    INTEGER NOT NULL,
    item     INTEGER NOT NULL,
    rule     TEXT NOT NULL,
    phase    TEXT NOT NULL,
    PRIMARY KEY (kind, urgency, from_day, child, item)
) STRICT, WITHOUT ROWID;

CREATE TABLE appointments (
    for_day INTEGER NOT NULL,
    time    TEXT NOT NULL,
    child   INTEGER NOT NULL,
    item    INTEGER NOT NULL,
    PRIMARY KEY (for_day, time, child, item)
) STRICT, WITHOUT ROWID;

CREATE TABLE words (
    number INTEGER PRIMARY KEY,
    word   TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE word_children (
    word  INTEGER NOT NULL,
    child INTEGER NOT NULL,
    PRIMARY KEY (word, child)
) STRICT, WITHOUT ROWID;

CREATE TABLE numbers (
    number TEXT NOT NULL,
    child  INTEGER NOT NULL,
    PRIMARY KEY (number, child)
) STRICT, WITHOUT ROWID;

CREATE TABLE facts (
    key   TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
