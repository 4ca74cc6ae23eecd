-- What the watch tells at fixed times: lists at the end of a shift, digests,
-- reminders; and what its upkeep of the database came to.

-- +goose Up

-- A list is made once for its slot, however often the program is stopped.
CREATE TABLE list (
    site    TEXT    NOT NULL,
    seq     INTEGER NOT NULL,
    name    TEXT    NOT NULL CHECK (name <> ''),
    slot_us INTEGER NOT NULL,
    made_us INTEGER NOT NULL,
    head    TEXT    NOT NULL,
    body    TEXT    NOT NULL,
    PRIMARY KEY (site, seq),
    UNIQUE (site, name, slot_us)
) STRICT;

-- To which channels it is owed. sent_us is NULL until it has arrived.
CREATE TABLE list_owed (
    site     TEXT    NOT NULL,
    seq      INTEGER NOT NULL,
    channel  TEXT    NOT NULL CHECK (channel <> ''),
    attempts INTEGER NOT NULL,
    next_us  INTEGER NOT NULL,
    problem  TEXT    NOT NULL,
    sent_us  INTEGER,
    PRIMARY KEY (site, seq, channel),
    FOREIGN KEY (site, seq) REFERENCES list (site, seq) ON DELETE CASCADE
) STRICT;

CREATE INDEX list_owed_open ON list_owed (site, channel, seq) WHERE sent_us IS NULL;

-- Verifications, backups and restore drills, with the program that made them.
-- hash is that of the last fact; problem is empty where all was well.
CREATE TABLE upkeep (
    site     TEXT    NOT NULL,
    kind     TEXT    NOT NULL CHECK (kind IN ('verify', 'backup', 'drill')),
    at_us    INTEGER NOT NULL,
    took_us  INTEGER NOT NULL CHECK (took_us >= 0),
    program  TEXT    NOT NULL,
    facts    INTEGER NOT NULL,
    hash     TEXT    NOT NULL,
    readings INTEGER NOT NULL,
    compared INTEGER NOT NULL,
    file     TEXT    NOT NULL,
    bytes    INTEGER NOT NULL,
    asof_us  INTEGER NOT NULL,
    problem  TEXT    NOT NULL,
    PRIMARY KEY (site, kind, at_us)
) STRICT;
