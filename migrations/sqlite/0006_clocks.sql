-- Until when QA extended a lot, which flux was reclaimed, and what blends of flux
-- were made of.

-- +goose Up

ALTER TABLE lot ADD COLUMN extended TEXT NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN extension TEXT NOT NULL DEFAULT '';

ALTER TABLE bundle ADD COLUMN recycled INTEGER NOT NULL DEFAULT 0 CHECK (recycled IN (0, 1));

-- One row an input. The lot and the bundle are those that the blend made.
CREATE TABLE blend (
    site        TEXT    NOT NULL,
    bundle      TEXT    NOT NULL,
    input       TEXT    NOT NULL,
    lot         TEXT    NOT NULL,
    input_lot   TEXT    NOT NULL,
    mass_ug     INTEGER NOT NULL CHECK (mass_ug > 0),
    recycled_ug INTEGER NOT NULL CHECK (recycled_ug >= 0 AND recycled_ug <= mass_ug),
    at_us       INTEGER NOT NULL,
    PRIMARY KEY (site, bundle, input)
) STRICT;

CREATE INDEX blend_lot ON blend (site, lot);
CREATE INDEX blend_input_lot ON blend (site, input_lot);
