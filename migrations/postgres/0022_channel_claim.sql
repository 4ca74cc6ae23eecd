-- Who is telling a channel at the moment, so that no second program tells it too.

-- +goose Up

-- holder is empty where nobody is; until_us is when a program that took it and did
-- not come back is taken for dead.
ALTER TABLE alarm_channel ADD COLUMN holder TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE alarm_channel ADD COLUMN until_us BIGINT NOT NULL DEFAULT 0;
