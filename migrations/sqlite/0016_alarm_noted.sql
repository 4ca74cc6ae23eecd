-- When it was noted that an alarm had ceased.

-- +goose Up

-- It ceased by the time of the fact that ended it. Where that was entered late, this
-- is when it was seen; NULL otherwise.
ALTER TABLE alarm ADD COLUMN cleared_noted_us INTEGER;
