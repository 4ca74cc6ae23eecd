-- What the watch raised, how far it has looked, and which of its jobs ran.

-- +goose Up

-- A condition is raised once ever: its beginning follows from the facts.
-- cleared_us is NULL while it stands; due_us is 0 where nothing is due.
CREATE TABLE alarm (
    site        TEXT    NOT NULL,
    kind        TEXT    NOT NULL CHECK (kind <> ''),
    subject     TEXT    NOT NULL CHECK (subject <> ''),
    since_us    INTEGER NOT NULL,
    raised_us   INTEGER NOT NULL,
    late        INTEGER NOT NULL CHECK (late IN (0, 1)),
    cleared_us  INTEGER,
    priority    TEXT    NOT NULL,
    what        TEXT    NOT NULL,
    consequence TEXT    NOT NULL,
    action      TEXT    NOT NULL,
    due_us      INTEGER NOT NULL,
    PRIMARY KEY (site, kind, subject, since_us),
    CHECK (raised_us >= since_us),
    CHECK (cleared_us IS NULL OR cleared_us >= since_us)
) STRICT;

CREATE INDEX alarm_standing ON alarm (site, since_us) WHERE cleared_us IS NULL;
CREATE INDEX alarm_since ON alarm (site, since_us);

-- The watch has looked at everything up to an instant and a fact.
CREATE TABLE watched (
    site  TEXT    NOT NULL PRIMARY KEY,
    at_us INTEGER NOT NULL,
    seq   INTEGER NOT NULL CHECK (seq >= 0)
) STRICT;

-- A slot is run once, however many programs watch the site. finished_us is NULL
-- while it runs; what it came to is empty for a success.
CREATE TABLE job_run (
    site        TEXT    NOT NULL,
    job         TEXT    NOT NULL CHECK (job <> ''),
    slot_us     INTEGER NOT NULL,
    started_us  INTEGER NOT NULL,
    finished_us INTEGER,
    result      TEXT    NOT NULL,
    PRIMARY KEY (site, job, slot_us)
) STRICT;

-- What was in which heated place, for judging the place.
CREATE INDEX stay_place_kind ON stay (site, place_kind, to_us);
