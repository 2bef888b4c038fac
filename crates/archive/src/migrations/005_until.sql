-- As the summaries: can be thrown away and computed again from the log.
-- The first day on which an item no longer applies; the largest number where it waits for an answer.
ALTER TABLE work ADD COLUMN until_day INTEGER NOT NULL DEFAULT 2147483647;
