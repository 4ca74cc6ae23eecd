-- What joints and jobs ask of their filler, the papers of lots, whose stock is
-- whose, and what was turned away at the window. A joint, a job and a paper
-- keep each version that was ever entered: an issue is decided by the one that
-- stood when it happened.

-- +goose Up

CREATE TABLE joint (
    site     TEXT NOT NULL,
    joint    TEXT NOT NULL CHECK (joint <> ''),
    since_us INTEGER NOT NULL,
    seq      INTEGER NOT NULL,
    job      TEXT NOT NULL,
    body     TEXT NOT NULL,
    by_who   TEXT NOT NULL,
    PRIMARY KEY (site, joint, since_us, seq)
) STRICT;

CREATE TABLE job_terms (
    site     TEXT NOT NULL,
    job      TEXT NOT NULL CHECK (job <> ''),
    since_us INTEGER NOT NULL,
    seq      INTEGER NOT NULL,
    body     TEXT NOT NULL,
    by_who   TEXT NOT NULL,
    PRIMARY KEY (site, job, since_us, seq)
) STRICT;

CREATE TABLE certificate (
    site     TEXT NOT NULL,
    lot      TEXT NOT NULL CHECK (lot <> ''),
    number   TEXT NOT NULL CHECK (number <> ''),
    since_us INTEGER NOT NULL,
    seq      INTEGER NOT NULL,
    body     TEXT NOT NULL,
    by_who   TEXT NOT NULL,
    PRIMARY KEY (site, lot, number, since_us, seq)
) STRICT;

CREATE TABLE turned_away (
    site   TEXT NOT NULL,
    seq    INTEGER NOT NULL,
    at_us  INTEGER NOT NULL,
    body   TEXT NOT NULL,
    by_who TEXT NOT NULL,
    PRIMARY KEY (site, seq)
) STRICT;

CREATE TABLE slip_flag (
    site TEXT NOT NULL,
    slip TEXT NOT NULL,
    n    INTEGER NOT NULL,
    lot  TEXT NOT NULL,
    code TEXT NOT NULL,
    why  TEXT NOT NULL,
    PRIMARY KEY (site, slip, n)
) STRICT;

ALTER TABLE lot ADD COLUMN owner TEXT NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN lot_class TEXT NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN schedule TEXT NOT NULL DEFAULT '';

-- A welder's open slips are looked up at every issue where one filler is the
-- rule.
CREATE INDEX slip_welder ON slip (site, welder, closed_us);
