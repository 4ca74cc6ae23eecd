-- Ovens: what a check found a sensor to have shown before it, the rack that a
-- bundle lies on, planned shutdowns, and the checks that were made of ovens.

-- +goose Up

-- found_k is NULL where nothing was said of the time before the check.
ALTER TABLE calibration ADD COLUMN found_k BIGINT;

ALTER TABLE stay ADD COLUMN rack TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE bundle ADD COLUMN rack TEXT COLLATE "C" NOT NULL DEFAULT '';

-- One that is announced again with the same beginning takes the place of the first.
CREATE TABLE shutdown (
    site    TEXT COLLATE "C" NOT NULL,
    place   TEXT COLLATE "C" NOT NULL,
    from_us BIGINT           NOT NULL,
    to_us   BIGINT           NOT NULL,
    why     TEXT COLLATE "C" NOT NULL,
    by_who  TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, place, from_us),
    CHECK (to_us > from_us)
);

-- temp_k is NULL where the thermometer was not read.
CREATE TABLE oven_check (
    site     TEXT COLLATE "C" NOT NULL,
    place    TEXT COLLATE "C" NOT NULL,
    at_us    BIGINT           NOT NULL,
    seq      BIGINT           NOT NULL,
    noted_us BIGINT           NOT NULL,
    temp_k   BIGINT,
    floor    BIGINT           NOT NULL CHECK (floor >= 0),
    note     TEXT COLLATE "C" NOT NULL,
    by_who   TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, place, at_us, seq)
);
