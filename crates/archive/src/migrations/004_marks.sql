-- As the summaries: can be thrown away and computed again from the log.
-- By what a caller looks a child up, and over which days it holds.
CREATE TABLE marks (
    topic    TEXT NOT NULL,
    key      TEXT NOT NULL,
    child    INTEGER NOT NULL,
    item     INTEGER NOT NULL,
    from_day INTEGER NOT NULL,
    to_day   INTEGER NOT NULL,
    PRIMARY KEY (topic, key, child, item)
) STRICT, WITHOUT ROWID;

-- What a caller computes over all children from, a text of its own for each.
CREATE TABLE kept (
    topic TEXT NOT NULL,
    child INTEGER NOT NULL,
    text  TEXT NOT NULL,
    PRIMARY KEY (topic, child)
) STRICT, WITHOUT ROWID;
