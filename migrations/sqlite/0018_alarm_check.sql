-- What jobs of the program found that is no fact of the shop, and what the shop
-- has set of its alarms.

-- +goose Up

-- A run of checks with the same result is one row: at_us is the first of them
-- and seen_us the last; next_us is when the next one is due, 0 for no such time.
CREATE TABLE alarm_check (
    site    TEXT    NOT NULL,
    kind    TEXT    NOT NULL CHECK (kind <> ''),
    subject TEXT    NOT NULL CHECK (subject <> ''),
    at_us   INTEGER NOT NULL,
    seen_us INTEGER NOT NULL CHECK (seen_us >= at_us),
    bad     INTEGER NOT NULL CHECK (bad IN (0, 1)),
    passing INTEGER NOT NULL CHECK (passing IN (0, 1)),
    next_us INTEGER NOT NULL,
    what    TEXT    NOT NULL,
    due_us  INTEGER NOT NULL,
    PRIMARY KEY (site, kind, subject, at_us)
) STRICT;

-- What the file of settings changes of an entry of the catalogue, as JSON.
CREATE TABLE alarm_setting (
    site TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind <> ''),
    body TEXT NOT NULL CHECK (body <> ''),
    PRIMARY KEY (site, kind)
) STRICT;
