-- Projections of the ledger: what the facts say of lots, bundles, slips and
-- places. All but the readings can be dropped and rebuilt from the facts.

-- +goose Up

CREATE TABLE site (
    site  TEXT COLLATE "C" NOT NULL PRIMARY KEY REFERENCES head (site),
    zone  TEXT COLLATE "C" NOT NULL CHECK (zone <> ''),
    units TEXT COLLATE "C" NOT NULL CHECK (units IN ('SI', 'US')),
    rules TEXT COLLATE "C" NOT NULL
);

CREATE TABLE counter (
    site TEXT COLLATE "C"  NOT NULL,
    kind TEXT COLLATE "C"  NOT NULL,
    n    BIGINT NOT NULL CHECK (n >= 0),
    PRIMARY KEY (site, kind)
);

CREATE TABLE place (
    site  TEXT COLLATE "C" NOT NULL,
    place TEXT COLLATE "C" NOT NULL CHECK (place <> ''),
    kind  TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, place)
);

CREATE TABLE sensor (
    site   TEXT COLLATE "C" NOT NULL,
    sensor TEXT COLLATE "C" NOT NULL CHECK (sensor <> ''),
    place  TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, sensor)
);

CREATE INDEX sensor_place ON sensor (site, place);

-- error_k and the readings' temp_k count 1/900 of a degree Celsius.
CREATE TABLE calibration (
    site    TEXT COLLATE "C"  NOT NULL,
    sensor  TEXT COLLATE "C"  NOT NULL,
    at_us   BIGINT NOT NULL,
    error_k BIGINT NOT NULL,
    due_us  BIGINT NOT NULL,
    PRIMARY KEY (site, sensor, at_us)
);

CREATE TABLE reading (
    site   TEXT COLLATE "C"  NOT NULL,
    sensor TEXT COLLATE "C"  NOT NULL,
    at_us  BIGINT NOT NULL,
    temp_k BIGINT NOT NULL,
    PRIMARY KEY (site, sensor, at_us)
);

CREATE TABLE ruleset (
    site        TEXT COLLATE "C"  NOT NULL,
    id          TEXT COLLATE "C"  NOT NULL,
    edition     TEXT COLLATE "C"  NOT NULL,
    digest      TEXT COLLATE "C"  NOT NULL,
    body        TEXT COLLATE "C"  NOT NULL,
    approved_by TEXT COLLATE "C"  NOT NULL,
    approved_us BIGINT NOT NULL,
    PRIMARY KEY (site, id)
);

CREATE TABLE job (
    site  TEXT COLLATE "C" NOT NULL,
    job   TEXT COLLATE "C" NOT NULL,
    rules TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, job)
);

CREATE TABLE lot (
    site             TEXT COLLATE "C"  NOT NULL,
    lot              TEXT COLLATE "C"  NOT NULL CHECK (lot <> ''),
    class            TEXT COLLATE "C"  NOT NULL,
    spec             TEXT COLLATE "C"  NOT NULL,
    canonical        TEXT COLLATE "C"  NOT NULL,
    diameter_nm      BIGINT NOT NULL CHECK (diameter_nm >= 0),
    length_nm        BIGINT NOT NULL CHECK (length_nm >= 0),
    size             TEXT COLLATE "C"  NOT NULL,
    maker            TEXT COLLATE "C"  NOT NULL,
    certificate      TEXT COLLATE "C"  NOT NULL,
    certificate_kind TEXT COLLATE "C"  NOT NULL,
    made             TEXT COLLATE "C"  NOT NULL,
    expires          TEXT COLLATE "C"  NOT NULL,
    piece_ug         BIGINT NOT NULL CHECK (piece_ug >= 0),
    status           TEXT COLLATE "C"  NOT NULL,
    reason           TEXT COLLATE "C"  NOT NULL,
    PRIMARY KEY (site, lot)
);

-- Which facts speak of a lot, so that a correction rebuilds one lot and not
-- the site.
CREATE TABLE lot_fact (
    site TEXT COLLATE "C"  NOT NULL,
    lot  TEXT COLLATE "C"  NOT NULL,
    seq  BIGINT NOT NULL,
    PRIMARY KEY (site, lot, seq)
);

CREATE TABLE bundle (
    site        TEXT COLLATE "C"  NOT NULL,
    bundle      TEXT COLLATE "C"  NOT NULL CHECK (bundle <> ''),
    lot         TEXT COLLATE "C"  NOT NULL,
    package     TEXT COLLATE "C"  NOT NULL,
    tight       BIGINT NOT NULL CHECK (tight IN (0, 1)),
    sealed      BIGINT NOT NULL CHECK (sealed IN (0, 1)),
    pieces      BIGINT NOT NULL CHECK (pieces >= 0),
    mass_ug     BIGINT NOT NULL CHECK (mass_ug >= 0),
    place       TEXT COLLATE "C"  NOT NULL,
    place_kind  TEXT COLLATE "C"  NOT NULL,
    slip        TEXT COLLATE "C"  NOT NULL,
    hold        TEXT COLLATE "C"  NOT NULL,
    received_us BIGINT NOT NULL,
    born_us     BIGINT NOT NULL,
    returned    BIGINT NOT NULL CHECK (returned IN (0, 1)),
    PRIMARY KEY (site, bundle)
);

CREATE INDEX bundle_lot ON bundle (site, lot);
CREATE INDEX bundle_live ON bundle (site, place) WHERE pieces > 0 OR mass_ug > 0;
CREATE INDEX bundle_slip ON bundle (site, slip) WHERE slip <> '';

CREATE TABLE origin (
    site   TEXT COLLATE "C"  NOT NULL,
    bundle TEXT COLLATE "C"  NOT NULL,
    parent TEXT COLLATE "C"  NOT NULL,
    at_us  BIGINT NOT NULL,
    lot    TEXT COLLATE "C"  NOT NULL,
    PRIMARY KEY (site, bundle, parent)
);

CREATE INDEX origin_parent ON origin (site, parent);

-- to_us is NULL while the stay lasts.
CREATE TABLE stay (
    site        TEXT COLLATE "C"  NOT NULL,
    bundle      TEXT COLLATE "C"  NOT NULL,
    from_us     BIGINT NOT NULL,
    seq         BIGINT NOT NULL,
    to_us       BIGINT,
    place       TEXT COLLATE "C"  NOT NULL,
    place_kind  TEXT COLLATE "C"  NOT NULL,
    sealed      BIGINT NOT NULL CHECK (sealed IN (0, 1)),
    slip        TEXT COLLATE "C"  NOT NULL,
    returned    BIGINT NOT NULL CHECK (returned IN (0, 1)),
    bake_set_k  BIGINT,
    bake_layers BIGINT NOT NULL,
    bake_ug     BIGINT NOT NULL,
    lot         TEXT COLLATE "C"  NOT NULL,
    PRIMARY KEY (site, bundle, from_us, seq),
    CHECK (to_us IS NULL OR to_us >= from_us)
);

CREATE TABLE happening (
    site        TEXT COLLATE "C"  NOT NULL,
    bundle      TEXT COLLATE "C"  NOT NULL,
    at_us       BIGINT NOT NULL,
    seq         BIGINT NOT NULL,
    kind        TEXT COLLATE "C"  NOT NULL,
    disposition TEXT COLLATE "C"  NOT NULL,
    lot         TEXT COLLATE "C"  NOT NULL,
    PRIMARY KEY (site, bundle, seq)
);

CREATE TABLE slip (
    site         TEXT COLLATE "C"  NOT NULL,
    slip         TEXT COLLATE "C"  NOT NULL CHECK (slip <> ''),
    bundle       TEXT COLLATE "C"  NOT NULL,
    lot          TEXT COLLATE "C"  NOT NULL,
    pieces       BIGINT NOT NULL,
    mass_ug      BIGINT NOT NULL,
    welder       TEXT COLLATE "C"  NOT NULL,
    holder       TEXT COLLATE "C"  NOT NULL,
    holder_kind  TEXT COLLATE "C"  NOT NULL,
    job          TEXT COLLATE "C"  NOT NULL,
    rules        TEXT COLLATE "C"  NOT NULL,
    at_us        BIGINT NOT NULL,
    closed_us    BIGINT,
    unused       BIGINT NOT NULL,
    stubs        BIGINT NOT NULL,
    damaged      BIGINT NOT NULL,
    unidentified BIGINT NOT NULL,
    unused_ug    BIGINT NOT NULL,
    by_who       TEXT COLLATE "C"  NOT NULL,
    PRIMARY KEY (site, slip)
);

CREATE INDEX slip_open ON slip (site, at_us) WHERE closed_us IS NULL;
CREATE INDEX slip_lot ON slip (site, lot);

CREATE TABLE slip_joint (
    site  TEXT COLLATE "C" NOT NULL,
    slip  TEXT COLLATE "C" NOT NULL,
    joint TEXT COLLATE "C" NOT NULL,
    lot   TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, slip, joint)
);

CREATE INDEX slip_joint_joint ON slip_joint (site, joint);

-- Counts, scrap and what else took pieces out of the books, for the balance of
-- a lot.
CREATE TABLE loss (
    site    TEXT COLLATE "C"  NOT NULL,
    seq     BIGINT NOT NULL,
    lot     TEXT COLLATE "C"  NOT NULL,
    bundle  TEXT COLLATE "C"  NOT NULL,
    kind    TEXT COLLATE "C"  NOT NULL,
    pieces  BIGINT NOT NULL,
    mass_ug BIGINT NOT NULL,
    reason  TEXT COLLATE "C"  NOT NULL,
    at_us   BIGINT NOT NULL,
    PRIMARY KEY (site, seq, kind)
);

CREATE INDEX loss_lot ON loss (site, lot);
