CREATE TABLE accounts (
    id            BLOB PRIMARY KEY CHECK (length(id) = 16),
    name          TEXT NOT NULL,
    name_key      TEXT NOT NULL UNIQUE,
    display_name  TEXT NOT NULL,
    password_hash TEXT NOT NULL,
    created_at    INTEGER NOT NULL,
    disabled      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE sessions (
    token_hash BLOB PRIMARY KEY,
    user       BLOB NOT NULL REFERENCES accounts (id),
    csrf_token TEXT NOT NULL,
    created_at INTEGER NOT NULL,
    last_used  INTEGER NOT NULL,
    expires    INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX sessions_of_user ON sessions (user);

CREATE TABLE links (
    token_hash BLOB PRIMARY KEY,
    purpose    TEXT NOT NULL,
    user       BLOB,
    created_at INTEGER NOT NULL,
    expires    INTEGER NOT NULL,
    used_at    INTEGER
) STRICT, WITHOUT ROWID;

CREATE TABLE settings (
    key   TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
