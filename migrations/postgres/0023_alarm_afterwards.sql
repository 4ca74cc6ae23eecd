-- Which alarms nobody could have known of in time.

-- +goose Up

-- 1: it was over before a look that did not see it, and readings that came in later
-- showed it. It is listed and was never sent.
ALTER TABLE alarm ADD COLUMN afterwards INTEGER NOT NULL DEFAULT 0 CHECK (afterwards IN (0, 1));
