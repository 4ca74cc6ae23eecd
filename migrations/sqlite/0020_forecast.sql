-- Forecasts as they were told: kept when a forecast was made, so that what was
-- used can be set against what was really said, whatever is computed later.
-- Amounts are thousandths of a piece: a rod, or a gram of wire and flux.

-- +goose Up

CREATE TABLE forecast (
    site     TEXT    NOT NULL REFERENCES head (site),
    number   INTEGER NOT NULL CHECK (number >= 1),
    told_us  INTEGER NOT NULL,
    by_who   TEXT    NOT NULL CHECK (by_who <> ''),
    revision INTEGER NOT NULL CHECK (revision >= 1),
    weeks    INTEGER NOT NULL CHECK (weeks >= 1),
    PRIMARY KEY (site, number)
) STRICT;

CREATE TABLE forecast_week (
    site        TEXT    NOT NULL,
    number      INTEGER NOT NULL,
    monday      TEXT    NOT NULL CHECK (length(monday) = 10),
    class       TEXT    NOT NULL CHECK (class <> ''),
    diameter_nm INTEGER NOT NULL CHECK (diameter_nm >= 0),
    mean_mp     INTEGER NOT NULL CHECK (mean_mp >= 0),
    p50_mp      INTEGER NOT NULL CHECK (p50_mp >= 0),
    p90_mp      INTEGER NOT NULL CHECK (p90_mp >= 0),
    PRIMARY KEY (site, number, monday, class, diameter_nm),
    FOREIGN KEY (site, number) REFERENCES forecast (site, number)
) STRICT;
