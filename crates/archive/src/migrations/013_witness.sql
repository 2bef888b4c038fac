-- The seal of the last commit that changed what the witness covers: how many such commits there were, the state
-- after it, and a code made with a key that is not in this file.
CREATE TABLE seals (
    one      INTEGER PRIMARY KEY CHECK (one = 1),
    number   INTEGER NOT NULL,
    form     INTEGER NOT NULL,
    entries  INTEGER NOT NULL,
    at       INTEGER NOT NULL,
    log      BLOB NOT NULL CHECK (length(log) = 32),
    rest     BLOB NOT NULL CHECK (length(rest) = 32),
    previous BLOB NOT NULL CHECK (length(previous) = 32),
    mac      BLOB NOT NULL CHECK (length(mac) = 32)
) STRICT;

-- What a person decided about the records as a whole: to go on with records that are not those the witness knows
-- ('records'), or to save although the clock is earlier than the last entry ('clock'). `by` is NULL for the owner
-- of the computer, `place` is the last entry at that time.
CREATE TABLE decisions (
    number INTEGER PRIMARY KEY,
    what   TEXT NOT NULL,
    by     BLOB,
    at     INTEGER NOT NULL,
    reason TEXT NOT NULL,
    about  TEXT NOT NULL,
    place  INTEGER NOT NULL
) STRICT;
