-- What joints and jobs ask of their filler, the papers of lots, whose stock is
-- whose, and what was turned away at the window. A joint, a job and a paper
-- keep each version that was ever entered: an issue is decided by the one that
-- stood when it happened.

-- +goose Up

CREATE TABLE joint (
    site     TEXT COLLATE "C" NOT NULL,
    joint    TEXT COLLATE "C" NOT NULL CHECK (joint <> ''),
    since_us BIGINT NOT NULL,
    seq      BIGINT NOT NULL,
    job      TEXT COLLATE "C" NOT NULL,
    body     TEXT COLLATE "C" NOT NULL,
    by_who   TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, joint, since_us, seq)
);

CREATE TABLE job_terms (
    site     TEXT COLLATE "C" NOT NULL,
    job      TEXT COLLATE "C" NOT NULL CHECK (job <> ''),
    since_us BIGINT NOT NULL,
    seq      BIGINT NOT NULL,
    body     TEXT COLLATE "C" NOT NULL,
    by_who   TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, job, since_us, seq)
);

CREATE TABLE certificate (
    site     TEXT COLLATE "C" NOT NULL,
    lot      TEXT COLLATE "C" NOT NULL CHECK (lot <> ''),
    number   TEXT COLLATE "C" NOT NULL CHECK (number <> ''),
    since_us BIGINT NOT NULL,
    seq      BIGINT NOT NULL,
    body     TEXT COLLATE "C" NOT NULL,
    by_who   TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, lot, number, since_us, seq)
);

CREATE TABLE turned_away (
    site   TEXT COLLATE "C" NOT NULL,
    seq    BIGINT NOT NULL,
    at_us  BIGINT NOT NULL,
    body   TEXT COLLATE "C" NOT NULL,
    by_who TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, seq)
);

CREATE TABLE slip_flag (
    site TEXT COLLATE "C" NOT NULL,
    slip TEXT COLLATE "C" NOT NULL,
    n    BIGINT NOT NULL,
    lot  TEXT COLLATE "C" NOT NULL,
    code TEXT COLLATE "C" NOT NULL,
    why  TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, slip, n)
);

ALTER TABLE lot ADD COLUMN owner TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN lot_class TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN schedule TEXT COLLATE "C" NOT NULL DEFAULT '';

-- A welder's open slips are looked up at every issue where one filler is the
-- rule.
CREATE INDEX slip_welder ON slip (site, welder, closed_us);
