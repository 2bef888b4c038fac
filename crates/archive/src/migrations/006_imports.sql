-- One row for each import: which entries of the log it brought, by the order of writing.
CREATE TABLE imports (
    id          BLOB PRIMARY KEY CHECK (length(id) = 16),
    file        TEXT NOT NULL,
    by          BLOB NOT NULL CHECK (length(by) = 16),
    at          INTEGER NOT NULL,
    first_place INTEGER NOT NULL,
    last_place  INTEGER NOT NULL,
    children    INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX imports_by_place ON imports (first_place);

-- An import that was undone: the withdrawals are entries of the log, this says that they belong together.
CREATE TABLE undone_imports (
    import    BLOB PRIMARY KEY REFERENCES imports (id),
    by        BLOB NOT NULL CHECK (length(by) = 16),
    at        INTEGER NOT NULL,
    reason    TEXT NOT NULL,
    withdrawn INTEGER NOT NULL,
    kept      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
