-- The secret of the time-based codes of a person, and the step of the last code that was accepted.
CREATE TABLE code_secrets (
    account   BLOB PRIMARY KEY REFERENCES accounts (id),
    secret    BLOB NOT NULL,
    set_up_at INTEGER NOT NULL,
    last_step INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Recovery codes as salted hashes; the codes of one person were made together and have one salt.
CREATE TABLE recovery_codes (
    account   BLOB NOT NULL REFERENCES accounts (id),
    code_hash BLOB NOT NULL,
    salt      BLOB NOT NULL,
    used_at   INTEGER,
    PRIMARY KEY (account, code_hash)
) STRICT, WITHOUT ROWID;

CREATE TABLE passkeys (
    id              BLOB PRIMARY KEY,
    account         BLOB NOT NULL REFERENCES accounts (id),
    name            TEXT NOT NULL,
    rp_id           TEXT NOT NULL,
    public_key      BLOB NOT NULL,
    sign_count      INTEGER NOT NULL,
    backup_eligible INTEGER NOT NULL,
    created_at      INTEGER NOT NULL,
    last_used       INTEGER
) STRICT, WITHOUT ROWID;
CREATE INDEX passkeys_of_account ON passkeys (account);

-- What happened to the ways in which a person signs in. Rows are only added.
CREATE TABLE account_events (
    number  INTEGER PRIMARY KEY,
    account BLOB NOT NULL REFERENCES accounts (id),
    at      INTEGER NOT NULL,
    -- NULL: by a command on the computer itself.
    done_by BLOB,
    what    TEXT NOT NULL,
    why     TEXT
) STRICT;
CREATE INDEX events_of_account ON account_events (account);

-- Wrong passwords and codes since the last sign-in. The row of sixteen zero bytes counts unknown names, so that
-- both take the same time.
CREATE TABLE failed_sign_ins (
    account  BLOB PRIMARY KEY,
    in_a_row INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
