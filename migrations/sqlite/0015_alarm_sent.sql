-- How far each channel has told of what happened to alarms.

-- +goose Up

-- The history of alarms is what is to be told, in its order; seq is how far a
-- channel has told it. upto is the end of what is being told, 0 for nothing: a
-- program that was killed in between tells the same again under the same key.
CREATE TABLE alarm_channel (
    site     TEXT    NOT NULL,
    channel  TEXT    NOT NULL CHECK (channel <> ''),
    seq      INTEGER NOT NULL,
    upto     INTEGER NOT NULL,
    attempts INTEGER NOT NULL,
    next_us  INTEGER NOT NULL,
    problem  TEXT    NOT NULL,
    PRIMARY KEY (site, channel)
) STRICT;

-- Which time of the tag a transition is about; 0 where it is not known.
ALTER TABLE alarm_event ADD COLUMN since_us INTEGER NOT NULL DEFAULT 0;
