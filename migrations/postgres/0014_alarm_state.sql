-- In what state each alarm is, and how it came to be.

-- +goose Up

-- A tag is a kind of alarm of a subject. One without a row is normal.
-- shelved_until_us is 0 but for what is shelved.
CREATE TABLE alarm_state (
    site             TEXT COLLATE "C" NOT NULL,
    kind             TEXT COLLATE "C" NOT NULL CHECK (kind <> ''),
    subject          TEXT COLLATE "C" NOT NULL CHECK (subject <> ''),
    state            TEXT COLLATE "C" NOT NULL CHECK (state <> ''),
    active           BIGINT           NOT NULL CHECK (active IN (0, 1)),
    changed_us       BIGINT           NOT NULL,
    by_whom          TEXT COLLATE "C" NOT NULL,
    why              TEXT COLLATE "C" NOT NULL,
    shelved_until_us BIGINT           NOT NULL,
    shelved_once     BIGINT           NOT NULL CHECK (shelved_once IN (0, 1)),
    shelved_at       TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, kind, subject)
);

CREATE INDEX alarm_state_not_normal ON alarm_state (site, state) WHERE state <> 'normal';

-- Every transition with who, when and why. It is only added to.
CREATE TABLE alarm_event (
    site       TEXT COLLATE "C" NOT NULL,
    seq        BIGINT           NOT NULL,
    kind       TEXT COLLATE "C" NOT NULL,
    subject    TEXT COLLATE "C" NOT NULL,
    at_us      BIGINT           NOT NULL,
    event      TEXT COLLATE "C" NOT NULL CHECK (event <> ''),
    from_state TEXT COLLATE "C" NOT NULL,
    to_state   TEXT COLLATE "C" NOT NULL,
    by_whom    TEXT COLLATE "C" NOT NULL CHECK (by_whom <> ''),
    why        TEXT COLLATE "C" NOT NULL CHECK (why <> ''),
    PRIMARY KEY (site, seq)
);

CREATE INDEX alarm_event_tag ON alarm_event (site, kind, subject, seq);
CREATE INDEX alarm_event_at ON alarm_event (site, at_us);

INSERT INTO alarm_state (site, kind, subject, state, active, changed_us, by_whom, why, shelved_until_us, shelved_once, shelved_at)
SELECT site, kind, subject, 'unacknowledged', 1, max(raised_us), 'watch', 'it stood before alarms had states', 0, 0, ''
FROM alarm WHERE cleared_us IS NULL GROUP BY site, kind, subject;
