-- Answers of people who learn to score, each about one sign of one drawn foot. Rows are only added. `number` is the
-- order in which they were saved, `id` that of the form, so that a form sent twice is saved once. Levels are counted
-- in half points. The level that was right is stored, because the drawings may change.
CREATE TABLE practice_answers (
    number    INTEGER PRIMARY KEY,
    id        BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    account   BLOB NOT NULL REFERENCES accounts (id),
    day       INTEGER NOT NULL,
    sign      TEXT NOT NULL,
    seed      INTEGER NOT NULL,
    drawing   INTEGER NOT NULL,
    given     INTEGER NOT NULL CHECK (given BETWEEN 0 AND 2),
    reference INTEGER NOT NULL CHECK (reference BETWEEN 0 AND 2),
    UNIQUE (account, sign, seed, drawing)
) STRICT;
