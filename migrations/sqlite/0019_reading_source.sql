-- Where readings come from, and what came in that is no evidence.

-- +goose Up

-- unit is what the source writes its temperatures in; empty: each says its own.
CREATE TABLE reading_source (
    site TEXT    NOT NULL,
    n    INTEGER NOT NULL CHECK (n >= 1),
    kind TEXT    NOT NULL CHECK (kind <> ''),
    name TEXT    NOT NULL,
    unit TEXT    NOT NULL CHECK (unit IN ('', 'C', 'F')),
    PRIMARY KEY (site, n),
    UNIQUE (site, kind, name, unit)
) STRICT;

-- NULL: stored before sources were kept.
ALTER TABLE reading ADD COLUMN source INTEGER;

-- A value that came in and proves nothing, as it was written. at_us is when it was
-- read, or when it came in where its time could not be read. It is only added to.
CREATE TABLE reading_flagged (
    site     TEXT    NOT NULL,
    source   INTEGER NOT NULL,
    sensor   TEXT    NOT NULL,
    place    TEXT    NOT NULL,
    at_us    INTEGER NOT NULL,
    quality  TEXT    NOT NULL CHECK (quality <> ''),
    value    TEXT    NOT NULL,
    why      TEXT    NOT NULL,
    noted_us INTEGER NOT NULL,
    PRIMARY KEY (site, sensor, at_us, quality, value, source)
) STRICT;

CREATE INDEX reading_flagged_place ON reading_flagged (site, place, at_us);

-- When a source was last heard of, how its clock stood then, and what is wrong
-- with it. heard_us is 0 where nothing has come yet.
CREATE TABLE reading_heard (
    site     TEXT    NOT NULL,
    kind     TEXT    NOT NULL,
    name     TEXT    NOT NULL,
    heard_us INTEGER NOT NULL,
    newest_us INTEGER NOT NULL,
    ahead_us INTEGER NOT NULL,
    problem  TEXT    NOT NULL,
    since_us INTEGER NOT NULL,
    PRIMARY KEY (site, kind, name)
) STRICT;

-- How far the files of a folder were read. A file is known by the digest of its
-- beginning, whatever it is called by now.
CREATE TABLE reading_file (
    site    TEXT    NOT NULL,
    folder  TEXT    NOT NULL,
    begins  TEXT    NOT NULL,
    name    TEXT    NOT NULL,
    upto    INTEGER NOT NULL CHECK (upto >= 0),
    lines   INTEGER NOT NULL CHECK (lines >= 0),
    ends    TEXT    NOT NULL,
    PRIMARY KEY (site, folder, begins)
) STRICT;

-- What was answered to a push under a key of its own.
CREATE TABLE reading_push (
    site     TEXT    NOT NULL,
    key      TEXT    NOT NULL CHECK (key <> ''),
    digest   TEXT    NOT NULL,
    answer   TEXT    NOT NULL,
    noted_us INTEGER NOT NULL,
    PRIMARY KEY (site, key)
) STRICT;
