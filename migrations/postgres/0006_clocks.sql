-- Until when QA extended a lot, which flux was reclaimed, and what blends of flux
-- were made of.

-- +goose Up

ALTER TABLE lot ADD COLUMN extended TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE lot ADD COLUMN extension TEXT COLLATE "C" NOT NULL DEFAULT '';

ALTER TABLE bundle ADD COLUMN recycled BIGINT NOT NULL DEFAULT 0 CHECK (recycled IN (0, 1));

-- One row an input. The lot and the bundle are those that the blend made.
CREATE TABLE blend (
    site        TEXT COLLATE "C"    NOT NULL,
    bundle      TEXT COLLATE "C"    NOT NULL,
    input       TEXT COLLATE "C"    NOT NULL,
    lot         TEXT COLLATE "C"    NOT NULL,
    input_lot   TEXT COLLATE "C"    NOT NULL,
    mass_ug     BIGINT NOT NULL CHECK (mass_ug > 0),
    recycled_ug BIGINT NOT NULL CHECK (recycled_ug >= 0 AND recycled_ug <= mass_ug),
    at_us       BIGINT NOT NULL,
    PRIMARY KEY (site, bundle, input)
);

CREATE INDEX blend_lot ON blend (site, lot);
CREATE INDEX blend_input_lot ON blend (site, input_lot);
