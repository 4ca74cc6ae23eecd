-- What the watch raised, how far it has looked, and which of its jobs ran.

-- +goose Up

-- A condition is raised once ever: its beginning follows from the facts.
-- cleared_us is NULL while it stands; due_us is 0 where nothing is due.
CREATE TABLE alarm (
    site        TEXT COLLATE "C" NOT NULL,
    kind        TEXT COLLATE "C" NOT NULL CHECK (kind <> ''),
    subject     TEXT COLLATE "C" NOT NULL CHECK (subject <> ''),
    since_us    BIGINT           NOT NULL,
    raised_us   BIGINT           NOT NULL,
    late        BIGINT           NOT NULL CHECK (late IN (0, 1)),
    cleared_us  BIGINT,
    priority    TEXT COLLATE "C" NOT NULL,
    what        TEXT COLLATE "C" NOT NULL,
    consequence TEXT COLLATE "C" NOT NULL,
    action      TEXT COLLATE "C" NOT NULL,
    due_us      BIGINT           NOT NULL,
    PRIMARY KEY (site, kind, subject, since_us),
    CHECK (raised_us >= since_us),
    CHECK (cleared_us IS NULL OR cleared_us >= since_us)
);

CREATE INDEX alarm_standing ON alarm (site, since_us) WHERE cleared_us IS NULL;
CREATE INDEX alarm_since ON alarm (site, since_us);

-- The watch has looked at everything up to an instant and a fact.
CREATE TABLE watched (
    site        TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    at_us       BIGINT           NOT NULL,
    seq         BIGINT           NOT NULL CHECK (seq >= 0)
);

-- A slot is run once, however many programs watch the site. finished_us is NULL
-- while it runs; what it came to is empty for a success.
CREATE TABLE job_run (
    site        TEXT COLLATE "C" NOT NULL,
    job         TEXT COLLATE "C" NOT NULL CHECK (job <> ''),
    slot_us     BIGINT           NOT NULL,
    started_us  BIGINT           NOT NULL,
    finished_us BIGINT,
    result      TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, job, slot_us)
);

-- What was in which heated place, for judging the place.
CREATE INDEX stay_place_kind ON stay (site, place_kind, to_us);
