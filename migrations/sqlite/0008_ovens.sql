-- Ovens: what a check found a sensor to have shown before it, the rack that a
-- bundle lies on, planned shutdowns, and the checks that were made of ovens.

-- +goose Up

-- found_k is NULL where nothing was said of the time before the check.
ALTER TABLE calibration ADD COLUMN found_k INTEGER;

ALTER TABLE stay ADD COLUMN rack TEXT NOT NULL DEFAULT '';
ALTER TABLE bundle ADD COLUMN rack TEXT NOT NULL DEFAULT '';

-- One that is announced again with the same beginning takes the place of the first.
CREATE TABLE shutdown (
    site    TEXT    NOT NULL,
    place   TEXT    NOT NULL,
    from_us INTEGER NOT NULL,
    to_us   INTEGER NOT NULL,
    why     TEXT    NOT NULL,
    by_who  TEXT    NOT NULL,
    PRIMARY KEY (site, place, from_us),
    CHECK (to_us > from_us)
) STRICT;

-- temp_k is NULL where the thermometer was not read.
CREATE TABLE oven_check (
    site     TEXT    NOT NULL,
    place    TEXT    NOT NULL,
    at_us    INTEGER NOT NULL,
    seq      INTEGER NOT NULL,
    noted_us INTEGER NOT NULL,
    temp_k   INTEGER,
    floor    INTEGER NOT NULL CHECK (floor >= 0),
    note     TEXT    NOT NULL,
    by_who   TEXT    NOT NULL,
    PRIMARY KEY (site, place, at_us, seq)
) STRICT;
