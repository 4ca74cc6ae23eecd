-- The air of the places where stock is kept and rods are out, as people read it,
-- and the reports of tests that allow a longer exposure.

-- +goose Up

-- temp_k counts 1/900 of a degree Celsius, rh_pp hundredths of a per cent of
-- relative humidity. A second reading at one instant puts the first right.
CREATE TABLE climate (
    site    TEXT COLLATE "C" NOT NULL,
    place   TEXT COLLATE "C" NOT NULL CHECK (place <> ''),
    at_us   BIGINT           NOT NULL,
    temp_k  BIGINT           NOT NULL,
    rh_pp   BIGINT           NOT NULL CHECK (rh_pp BETWEEN 0 AND 10000),
    weather TEXT COLLATE "C" NOT NULL,
    by_who  TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, place, at_us)
);

-- class is the mark as the program prints it. moisture_pp is what the covering
-- held after the test in hundredths of a per cent by weight, -1 where the report
-- does not say; expires is empty where it has no end.
CREATE TABLE test_report (
    site        TEXT COLLATE "C" NOT NULL,
    seq         BIGINT           NOT NULL,
    maker       TEXT COLLATE "C" NOT NULL CHECK (maker <> ''),
    class       TEXT COLLATE "C" NOT NULL CHECK (class <> ''),
    exposed_us  BIGINT           NOT NULL CHECK (exposed_us > 0),
    temp_k      BIGINT           NOT NULL,
    rh_pp       BIGINT           NOT NULL CHECK (rh_pp BETWEEN 0 AND 10000),
    moisture_pp BIGINT           NOT NULL,
    reference   TEXT COLLATE "C" NOT NULL CHECK (reference <> ''),
    expires     TEXT COLLATE "C" NOT NULL,
    at_us       BIGINT           NOT NULL,
    by_who      TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, seq)
);

CREATE INDEX test_report_class ON test_report (site, class, at_us);

-- What was in a place, whether it is heated or not.
CREATE INDEX stay_place ON stay (site, place, to_us);
