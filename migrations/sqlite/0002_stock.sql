-- Projections of the ledger: what the facts say of lots, bundles, slips and
-- places. All but the readings can be dropped and rebuilt from the facts.

-- +goose Up

CREATE TABLE site (
    site  TEXT NOT NULL PRIMARY KEY REFERENCES head (site),
    zone  TEXT NOT NULL CHECK (zone <> ''),
    units TEXT NOT NULL CHECK (units IN ('SI', 'US')),
    rules TEXT NOT NULL
) STRICT;

CREATE TABLE counter (
    site TEXT  NOT NULL,
    kind TEXT  NOT NULL,
    n    INTEGER NOT NULL CHECK (n >= 0),
    PRIMARY KEY (site, kind)
) STRICT;

CREATE TABLE place (
    site  TEXT NOT NULL,
    place TEXT NOT NULL CHECK (place <> ''),
    kind  TEXT NOT NULL,
    PRIMARY KEY (site, place)
) STRICT;

CREATE TABLE sensor (
    site   TEXT NOT NULL,
    sensor TEXT NOT NULL CHECK (sensor <> ''),
    place  TEXT NOT NULL,
    PRIMARY KEY (site, sensor)
) STRICT;

CREATE INDEX sensor_place ON sensor (site, place);

-- error_k and the readings' temp_k count 1/900 of a degree Celsius.
CREATE TABLE calibration (
    site    TEXT  NOT NULL,
    sensor  TEXT  NOT NULL,
    at_us   INTEGER NOT NULL,
    error_k INTEGER NOT NULL,
    due_us  INTEGER NOT NULL,
    PRIMARY KEY (site, sensor, at_us)
) STRICT;

CREATE TABLE reading (
    site   TEXT  NOT NULL,
    sensor TEXT  NOT NULL,
    at_us  INTEGER NOT NULL,
    temp_k INTEGER NOT NULL,
    PRIMARY KEY (site, sensor, at_us)
) STRICT, WITHOUT ROWID;

CREATE TABLE ruleset (
    site        TEXT  NOT NULL,
    id          TEXT  NOT NULL,
    edition     TEXT  NOT NULL,
    digest      TEXT  NOT NULL,
    body        TEXT  NOT NULL,
    approved_by TEXT  NOT NULL,
    approved_us INTEGER NOT NULL,
    PRIMARY KEY (site, id)
) STRICT;

CREATE TABLE job (
    site  TEXT NOT NULL,
    job   TEXT NOT NULL,
    rules TEXT NOT NULL,
    PRIMARY KEY (site, job)
) STRICT;

CREATE TABLE lot (
    site             TEXT  NOT NULL,
    lot              TEXT  NOT NULL CHECK (lot <> ''),
    class            TEXT  NOT NULL,
    spec             TEXT  NOT NULL,
    canonical        TEXT  NOT NULL,
    diameter_nm      INTEGER NOT NULL CHECK (diameter_nm >= 0),
    length_nm        INTEGER NOT NULL CHECK (length_nm >= 0),
    size             TEXT  NOT NULL,
    maker            TEXT  NOT NULL,
    certificate      TEXT  NOT NULL,
    certificate_kind TEXT  NOT NULL,
    made             TEXT  NOT NULL,
    expires          TEXT  NOT NULL,
    piece_ug         INTEGER NOT NULL CHECK (piece_ug >= 0),
    status           TEXT  NOT NULL,
    reason           TEXT  NOT NULL,
    PRIMARY KEY (site, lot)
) STRICT;

-- Which facts speak of a lot, so that a correction rebuilds one lot and not
-- the site.
CREATE TABLE lot_fact (
    site TEXT  NOT NULL,
    lot  TEXT  NOT NULL,
    seq  INTEGER NOT NULL,
    PRIMARY KEY (site, lot, seq)
) STRICT;

CREATE TABLE bundle (
    site        TEXT  NOT NULL,
    bundle      TEXT  NOT NULL CHECK (bundle <> ''),
    lot         TEXT  NOT NULL,
    package     TEXT  NOT NULL,
    tight       INTEGER NOT NULL CHECK (tight IN (0, 1)),
    sealed      INTEGER NOT NULL CHECK (sealed IN (0, 1)),
    pieces      INTEGER NOT NULL CHECK (pieces >= 0),
    mass_ug     INTEGER NOT NULL CHECK (mass_ug >= 0),
    place       TEXT  NOT NULL,
    place_kind  TEXT  NOT NULL,
    slip        TEXT  NOT NULL,
    hold        TEXT  NOT NULL,
    received_us INTEGER NOT NULL,
    born_us     INTEGER NOT NULL,
    returned    INTEGER NOT NULL CHECK (returned IN (0, 1)),
    PRIMARY KEY (site, bundle)
) STRICT;

CREATE INDEX bundle_lot ON bundle (site, lot);
CREATE INDEX bundle_live ON bundle (site, place) WHERE pieces > 0 OR mass_ug > 0;
CREATE INDEX bundle_slip ON bundle (site, slip) WHERE slip <> '';

CREATE TABLE origin (
    site   TEXT  NOT NULL,
    bundle TEXT  NOT NULL,
    parent TEXT  NOT NULL,
    at_us  INTEGER NOT NULL,
    lot    TEXT  NOT NULL,
    PRIMARY KEY (site, bundle, parent)
) STRICT;

CREATE INDEX origin_parent ON origin (site, parent);

-- to_us is NULL while the stay lasts.
CREATE TABLE stay (
    site        TEXT  NOT NULL,
    bundle      TEXT  NOT NULL,
    from_us     INTEGER NOT NULL,
    seq         INTEGER NOT NULL,
    to_us       INTEGER,
    place       TEXT  NOT NULL,
    place_kind  TEXT  NOT NULL,
    sealed      INTEGER NOT NULL CHECK (sealed IN (0, 1)),
    slip        TEXT  NOT NULL,
    returned    INTEGER NOT NULL CHECK (returned IN (0, 1)),
    bake_set_k  INTEGER,
    bake_layers INTEGER NOT NULL,
    bake_ug     INTEGER NOT NULL,
    lot         TEXT  NOT NULL,
    PRIMARY KEY (site, bundle, from_us, seq),
    CHECK (to_us IS NULL OR to_us >= from_us)
) STRICT;

CREATE TABLE happening (
    site        TEXT  NOT NULL,
    bundle      TEXT  NOT NULL,
    at_us       INTEGER NOT NULL,
    seq         INTEGER NOT NULL,
    kind        TEXT  NOT NULL,
    disposition TEXT  NOT NULL,
    lot         TEXT  NOT NULL,
    PRIMARY KEY (site, bundle, seq)
) STRICT;

CREATE TABLE slip (
    site         TEXT  NOT NULL,
    slip         TEXT  NOT NULL CHECK (slip <> ''),
    bundle       TEXT  NOT NULL,
    lot          TEXT  NOT NULL,
    pieces       INTEGER NOT NULL,
    mass_ug      INTEGER NOT NULL,
    welder       TEXT  NOT NULL,
    holder       TEXT  NOT NULL,
    holder_kind  TEXT  NOT NULL,
    job          TEXT  NOT NULL,
    rules        TEXT  NOT NULL,
    at_us        INTEGER NOT NULL,
    closed_us    INTEGER,
    unused       INTEGER NOT NULL,
    stubs        INTEGER NOT NULL,
    damaged      INTEGER NOT NULL,
    unidentified INTEGER NOT NULL,
    unused_ug    INTEGER NOT NULL,
    by_who       TEXT  NOT NULL,
    PRIMARY KEY (site, slip)
) STRICT;

CREATE INDEX slip_open ON slip (site, at_us) WHERE closed_us IS NULL;
CREATE INDEX slip_lot ON slip (site, lot);

CREATE TABLE slip_joint (
    site  TEXT NOT NULL,
    slip  TEXT NOT NULL,
    joint TEXT NOT NULL,
    lot   TEXT NOT NULL,
    PRIMARY KEY (site, slip, joint)
) STRICT;

CREATE INDEX slip_joint_joint ON slip_joint (site, joint);

-- Counts, scrap and what else took pieces out of the books, for the balance of
-- a lot.
CREATE TABLE loss (
    site    TEXT  NOT NULL,
    seq     INTEGER NOT NULL,
    lot     TEXT  NOT NULL,
    bundle  TEXT  NOT NULL,
    kind    TEXT  NOT NULL,
    pieces  INTEGER NOT NULL,
    mass_ug INTEGER NOT NULL,
    reason  TEXT  NOT NULL,
    at_us   INTEGER NOT NULL,
    PRIMARY KEY (site, seq, kind)
) STRICT;

CREATE INDEX loss_lot ON loss (site, lot);
