-- Where readings come from, and what came in that is no evidence.

-- +goose Up

-- unit is what the source writes its temperatures in; empty: each says its own.
CREATE TABLE reading_source (
    site TEXT COLLATE "C" NOT NULL,
    n    BIGINT           NOT NULL CHECK (n >= 1),
    kind TEXT COLLATE "C" NOT NULL CHECK (kind <> ''),
    name TEXT COLLATE "C" NOT NULL,
    unit TEXT COLLATE "C" NOT NULL CHECK (unit IN ('', 'C', 'F')),
    PRIMARY KEY (site, n),
    UNIQUE (site, kind, name, unit)
);

-- NULL: stored before sources were kept.
ALTER TABLE reading ADD COLUMN source BIGINT;

-- A value that came in and proves nothing, as it was written. at_us is when it was
-- read, or when it came in where its time could not be read. It is only added to.
CREATE TABLE reading_flagged (
    site     TEXT COLLATE "C" NOT NULL,
    source   BIGINT           NOT NULL,
    sensor   TEXT COLLATE "C" NOT NULL,
    place    TEXT COLLATE "C" NOT NULL,
    at_us    BIGINT           NOT NULL,
    quality  TEXT COLLATE "C" NOT NULL CHECK (quality <> ''),
    value    TEXT COLLATE "C" NOT NULL,
    why      TEXT COLLATE "C" NOT NULL,
    noted_us BIGINT           NOT NULL,
    PRIMARY KEY (site, sensor, at_us, quality, value, source)
);

CREATE INDEX reading_flagged_place ON reading_flagged (site, place, at_us);

-- When a source was last heard of, how its clock stood then, and what is wrong
-- with it. heard_us is 0 where nothing has come yet.
CREATE TABLE reading_heard (
    site     TEXT COLLATE "C" NOT NULL,
    kind     TEXT COLLATE "C" NOT NULL,
    name     TEXT COLLATE "C" NOT NULL,
    heard_us BIGINT           NOT NULL,
    newest_us BIGINT           NOT NULL,
    ahead_us BIGINT           NOT NULL,
    problem  TEXT COLLATE "C" NOT NULL,
    since_us BIGINT           NOT NULL,
    PRIMARY KEY (site, kind, name)
);

-- How far the files of a folder were read. A file is known by the digest of its
-- beginning, whatever it is called by now.
CREATE TABLE reading_file (
    site    TEXT COLLATE "C" NOT NULL,
    folder  TEXT COLLATE "C" NOT NULL,
    begins  TEXT COLLATE "C" NOT NULL,
    name    TEXT COLLATE "C" NOT NULL,
    upto    BIGINT           NOT NULL CHECK (upto >= 0),
    lines   BIGINT           NOT NULL CHECK (lines >= 0),
    ends    TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, folder, begins)
);

-- What was answered to a push under a key of its own.
CREATE TABLE reading_push (
    site     TEXT COLLATE "C" NOT NULL,
    key      TEXT COLLATE "C" NOT NULL CHECK (key <> ''),
    digest   TEXT COLLATE "C" NOT NULL,
    answer   TEXT COLLATE "C" NOT NULL,
    noted_us BIGINT           NOT NULL,
    PRIMARY KEY (site, key)
);
