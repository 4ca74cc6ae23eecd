-- What jobs of the program found that is no fact of the shop, and what the shop
-- has set of its alarms.

-- +goose Up

-- A run of checks with the same result is one row: at_us is the first of them
-- and seen_us the last; next_us is when the next one is due, 0 for no such time.
CREATE TABLE alarm_check (
    site    TEXT COLLATE "C" NOT NULL,
    kind    TEXT COLLATE "C" NOT NULL CHECK (kind <> ''),
    subject TEXT COLLATE "C" NOT NULL CHECK (subject <> ''),
    at_us   BIGINT           NOT NULL,
    seen_us BIGINT           NOT NULL CHECK (seen_us >= at_us),
    bad     BIGINT           NOT NULL CHECK (bad IN (0, 1)),
    passing BIGINT           NOT NULL CHECK (passing IN (0, 1)),
    next_us BIGINT           NOT NULL,
    what    TEXT COLLATE "C" NOT NULL,
    due_us  BIGINT           NOT NULL,
    PRIMARY KEY (site, kind, subject, at_us)
);

-- What the file of settings changes of an entry of the catalogue, as JSON.
CREATE TABLE alarm_setting (
    site TEXT COLLATE "C" NOT NULL,
    kind TEXT COLLATE "C" NOT NULL CHECK (kind <> ''),
    body TEXT COLLATE "C" NOT NULL CHECK (body <> ''),
    PRIMARY KEY (site, kind)
);
