-- A device on the clinic's network: it waits for its one-time code, then has a token, and may be removed.
-- Codes and tokens are stored as hashes only.
CREATE TABLE devices (
    id           BLOB PRIMARY KEY CHECK (length(id) = 16),
    name         TEXT NOT NULL,
    made_by      BLOB NOT NULL CHECK (length(made_by) = 16),
    made_at      INTEGER NOT NULL,
    code_hash    BLOB UNIQUE,
    code_expires INTEGER NOT NULL,
    token_hash   BLOB UNIQUE,
    enrolled_at  INTEGER,
    last_used    INTEGER,
    removed_by   BLOB,
    removed_at   INTEGER
) STRICT, WITHOUT ROWID;
