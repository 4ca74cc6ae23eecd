-- What the watch tells at fixed times: lists at the end of a shift, digests,
-- reminders; and what its upkeep of the database came to.

-- +goose Up

-- A list is made once for its slot, however often the program is stopped.
CREATE TABLE list (
    site     TEXT COLLATE "C" NOT NULL,
    seq      BIGINT           NOT NULL,
    name     TEXT COLLATE "C" NOT NULL CHECK (name <> ''),
    slot_us  BIGINT           NOT NULL,
    made_us  BIGINT           NOT NULL,
    head     TEXT COLLATE "C" NOT NULL,
    body     TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, seq),
    UNIQUE (site, name, slot_us)
);

-- To which channels it is owed. sent_us is NULL until it has arrived.
CREATE TABLE list_owed (
    site     TEXT COLLATE "C" NOT NULL,
    seq      BIGINT           NOT NULL,
    channel  TEXT COLLATE "C" NOT NULL CHECK (channel <> ''),
    attempts BIGINT           NOT NULL,
    next_us  BIGINT           NOT NULL,
    problem  TEXT COLLATE "C" NOT NULL,
    sent_us  BIGINT,
    PRIMARY KEY (site, seq, channel),
    FOREIGN KEY (site, seq) REFERENCES list (site, seq) ON DELETE CASCADE
);

CREATE INDEX list_owed_open ON list_owed (site, channel, seq) WHERE sent_us IS NULL;

-- Verifications, backups and restore drills, with the program that made them.
-- hash is that of the last fact; problem is empty where all was well.
CREATE TABLE upkeep (
    site     TEXT COLLATE "C" NOT NULL,
    kind     TEXT COLLATE "C" NOT NULL CHECK (kind IN ('verify', 'backup', 'drill')),
    at_us    BIGINT           NOT NULL,
    took_us  BIGINT           NOT NULL CHECK (took_us >= 0),
    program  TEXT COLLATE "C" NOT NULL,
    facts    BIGINT           NOT NULL,
    hash     TEXT COLLATE "C" NOT NULL,
    readings BIGINT           NOT NULL,
    compared BIGINT           NOT NULL,
    file     TEXT COLLATE "C" NOT NULL,
    bytes    BIGINT           NOT NULL,
    asof_us  BIGINT           NOT NULL,
    problem  TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, kind, at_us)
);
