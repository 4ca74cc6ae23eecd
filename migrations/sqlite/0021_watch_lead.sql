-- Which of the programs that watch a site acts.

-- +goose Up

-- The token grows with each change of hands; every write of the one that leads
-- asks for its own in the same transaction. Beats are counted so that another sees
-- it is alive without comparing clocks. An empty host is one that laid it down.
CREATE TABLE watch_lead (
    site       TEXT    NOT NULL PRIMARY KEY,
    token      INTEGER NOT NULL CHECK (token > 0),
    beat       INTEGER NOT NULL,
    host       TEXT    NOT NULL,
    process    INTEGER NOT NULL,
    renewed_us INTEGER NOT NULL
) STRICT;
