-- As the summaries: can be thrown away and computed again from the log.
-- The words of the names of carers, and their telephone numbers as digits.
ALTER TABLE summaries ADD COLUMN carers TEXT NOT NULL DEFAULT '';
CREATE TABLE phones (
    number TEXT NOT NULL,
    child  INTEGER NOT NULL,
    PRIMARY KEY (number, child)
) STRICT, WITHOUT ROWID;
