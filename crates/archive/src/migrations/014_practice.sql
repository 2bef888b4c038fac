-- Answers of people who learn to score, each about one sign of one drawn foot. Rows are only added. `number` is the
-- order in which they were saved, `form` the id of the form, so that a form sent twice is told from another form. Levels are counted
-- in half points. The level that was right is stored, because the drawings may change.
CREATE TABLE practice_answers (
    number    INTEGER PRIMARY KEY,
    form      BLOB NOT NULL CHECK (length(form) = 16),
    account   BLOB NOT NULL REFERENCES accounts (id),
    day       INTEGER NOT NULL,
    sign      TEXT NOT NULL,
    seed      INTEGER NOT NULL,
    drawing   INTEGER NOT NULL,
    given     INTEGER NOT NULL CHECK (given BETWEEN 0 AND 2),
    reference INTEGER NOT NULL CHECK (reference BETWEEN 0 AND 2),
    UNIQUE (account, sign, seed, drawing)
) STRICT;

-- Answers about one sign of a foot on one of the clinic's photographs, one for each child and sign. They hold the
-- level that was scored at the child's visit, so that an erasure of anything about the child removes them.
CREATE TABLE practice_photographs (
    number     INTEGER PRIMARY KEY,
    account    BLOB NOT NULL REFERENCES accounts (id),
    day        INTEGER NOT NULL,
    child      BLOB NOT NULL CHECK (length(child) = 16),
    photograph BLOB NOT NULL CHECK (length(photograph) = 16),
    sign       TEXT NOT NULL,
    given      INTEGER NOT NULL CHECK (given BETWEEN 0 AND 2),
    reference  INTEGER NOT NULL CHECK (reference BETWEEN 0 AND 2),
    UNIQUE (account, child, sign)
) STRICT;
CREATE INDEX practice_photographs_of_child ON practice_photographs (child);
