-- In what state each alarm is, and how it came to be.

-- +goose Up

-- A tag is a kind of alarm of a subject. One without a row is normal.
-- shelved_until_us is 0 but for what is shelved.
CREATE TABLE alarm_state (
    site             TEXT    NOT NULL,
    kind             TEXT    NOT NULL CHECK (kind <> ''),
    subject          TEXT    NOT NULL CHECK (subject <> ''),
    state            TEXT    NOT NULL CHECK (state <> ''),
    active           INTEGER NOT NULL CHECK (active IN (0, 1)),
    changed_us       INTEGER NOT NULL,
    by_whom          TEXT    NOT NULL,
    why              TEXT    NOT NULL,
    shelved_until_us INTEGER NOT NULL,
    shelved_once     INTEGER NOT NULL CHECK (shelved_once IN (0, 1)),
    shelved_at       TEXT    NOT NULL,
    PRIMARY KEY (site, kind, subject)
) STRICT;

CREATE INDEX alarm_state_not_normal ON alarm_state (site, state) WHERE state <> 'normal';

-- Every transition with who, when and why. It is only added to.
CREATE TABLE alarm_event (
    site       TEXT    NOT NULL,
    seq        INTEGER NOT NULL,
    kind       TEXT    NOT NULL,
    subject    TEXT    NOT NULL,
    at_us      INTEGER NOT NULL,
    event      TEXT    NOT NULL CHECK (event <> ''),
    from_state TEXT    NOT NULL,
    to_state   TEXT    NOT NULL,
    by_whom    TEXT    NOT NULL CHECK (by_whom <> ''),
    why        TEXT    NOT NULL CHECK (why <> ''),
    PRIMARY KEY (site, seq)
) STRICT;

CREATE INDEX alarm_event_tag ON alarm_event (site, kind, subject, seq);
CREATE INDEX alarm_event_at ON alarm_event (site, at_us);

INSERT INTO alarm_state (site, kind, subject, state, active, changed_us, by_whom, why, shelved_until_us, shelved_once, shelved_at)
SELECT site, kind, subject, 'unacknowledged', 1, max(raised_us), 'watch', 'it stood before alarms had states', 0, 0, ''
FROM alarm WHERE cleared_us IS NULL GROUP BY site, kind, subject;
