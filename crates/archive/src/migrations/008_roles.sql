-- What each person is at the clinic. Accounts made before there were roles keep every right they had.
CREATE TABLE account_roles (
    account BLOB NOT NULL REFERENCES accounts (id),
    role    TEXT NOT NULL,
    PRIMARY KEY (account, role)
) STRICT, WITHOUT ROWID;
INSERT INTO account_roles SELECT id, 'lead' FROM accounts;
INSERT INTO account_roles SELECT id, 'clinician' FROM accounts;

-- Until when a password that somebody else handed over can be replaced by an own one; NULL for an own password.
ALTER TABLE accounts ADD COLUMN one_time_until INTEGER;
ALTER TABLE accounts ADD COLUMN last_sign_in INTEGER;
