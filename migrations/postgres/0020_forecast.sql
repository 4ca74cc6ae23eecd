-- Forecasts as they were told: kept when a forecast was made, so that what was
-- used can be set against what was really said, whatever is computed later.
-- Amounts are thousandths of a piece: a rod, or a gram of wire and flux.

-- +goose Up

CREATE TABLE forecast (
    site     TEXT COLLATE "C" NOT NULL REFERENCES head (site),
    number   BIGINT NOT NULL CHECK (number >= 1),
    told_us  BIGINT NOT NULL,
    by_who   TEXT COLLATE "C" NOT NULL CHECK (by_who <> ''),
    revision BIGINT NOT NULL CHECK (revision >= 1),
    weeks    BIGINT NOT NULL CHECK (weeks >= 1),
    PRIMARY KEY (site, number)
);

CREATE TABLE forecast_week (
    site        TEXT COLLATE "C" NOT NULL,
    number      BIGINT NOT NULL,
    monday      TEXT COLLATE "C" NOT NULL CHECK (length(monday) = 10),
    class       TEXT COLLATE "C" NOT NULL CHECK (class <> ''),
    diameter_nm BIGINT NOT NULL CHECK (diameter_nm >= 0),
    mean_mp     BIGINT NOT NULL CHECK (mean_mp >= 0),
    p50_mp      BIGINT NOT NULL CHECK (p50_mp >= 0),
    p90_mp      BIGINT NOT NULL CHECK (p90_mp >= 0),
    PRIMARY KEY (site, number, monday, class, diameter_nm),
    FOREIGN KEY (site, number) REFERENCES forecast (site, number)
);
