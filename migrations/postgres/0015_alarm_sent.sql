-- How far each channel has told of what happened to alarms.

-- +goose Up

-- The history of alarms is what is to be told, in its order; seq is how far a
-- channel has told it. upto is the end of what is being told, 0 for nothing: a
-- program that was killed in between tells the same again under the same key.
CREATE TABLE alarm_channel (
    site     TEXT COLLATE "C" NOT NULL,
    channel  TEXT COLLATE "C" NOT NULL CHECK (channel <> ''),
    seq      BIGINT           NOT NULL,
    upto     BIGINT           NOT NULL,
    attempts BIGINT           NOT NULL,
    next_us  BIGINT           NOT NULL,
    problem  TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, channel)
);

-- Which time of the tag a transition is about; 0 where it is not known.
ALTER TABLE alarm_event ADD COLUMN since_us BIGINT NOT NULL DEFAULT 0;
