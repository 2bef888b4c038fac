-- A session may be locked, and belongs to a device: a place of which only the hash is stored.
ALTER TABLE sessions ADD COLUMN locked_at INTEGER;
ALTER TABLE sessions ADD COLUMN place BLOB;

-- Whose form it is that was filled in a session that has ended since. The token opens nothing any more.
CREATE TABLE ended_sessions (
    csrf_token TEXT PRIMARY KEY,
    user       BLOB NOT NULL,
    expired    INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TRIGGER session_ended AFTER DELETE ON sessions BEGIN
    INSERT OR REPLACE INTO ended_sessions VALUES (OLD.csrf_token, OLD.user, OLD.expires);
END;

-- A short PIN of a person on one device, as a hash; and how often in a row it was typed wrong.
CREATE TABLE pins (
    account  BLOB NOT NULL REFERENCES accounts (id),
    place    BLOB NOT NULL,
    pin_hash TEXT NOT NULL,
    set_at   INTEGER NOT NULL,
    wrong    INTEGER NOT NULL,
    PRIMARY KEY (account, place)
) STRICT, WITHOUT ROWID;

-- Forms that were filled in and not saved, each sealed under a key of its person.
CREATE TABLE form_drafts (
    account  BLOB NOT NULL REFERENCES accounts (id),
    form     TEXT NOT NULL,
    child    BLOB,
    saved_at INTEGER NOT NULL,
    device   TEXT NOT NULL,
    sealed   BLOB NOT NULL,
    PRIMARY KEY (account, form)
) STRICT, WITHOUT ROWID;
CREATE INDEX form_drafts_of_child ON form_drafts (child);
