-- People and what they decide: who may do what since when, training on rule
-- sets, proposals that wait for QA, and what was seen.

-- +goose Up

-- What each fact says of a person. Of several the one with the latest since by
-- a day holds on that day. An office is any role but a welder's; the flag stays
-- with a person who ever held one.
CREATE TABLE person (
    site   TEXT NOT NULL,
    person TEXT NOT NULL CHECK (person <> ''),
    seq    INTEGER NOT NULL,
    name   TEXT NOT NULL,
    roles  TEXT NOT NULL,
    since  TEXT NOT NULL CHECK (since <> ''),
    until  TEXT NOT NULL,
    office INTEGER NOT NULL CHECK (office IN (0, 1)),
    PRIMARY KEY (site, person, seq)
) STRICT;

CREATE INDEX person_office ON person (site, person) WHERE office = 1;

CREATE TABLE training (
    site   TEXT NOT NULL,
    person TEXT NOT NULL,
    rules  TEXT NOT NULL,
    on_day TEXT NOT NULL CHECK (on_day <> ''),
    PRIMARY KEY (site, person, rules, on_day)
) STRICT;

-- A proposal waits until it is approved or rejected. Exactly one of bundle and
-- its lot as a whole is proposed about; lot is always known.
CREATE TABLE proposal (
    site        TEXT NOT NULL,
    proposal    TEXT NOT NULL CHECK (proposal <> ''),
    seq         INTEGER NOT NULL,
    lot         TEXT NOT NULL CHECK (lot <> ''),
    bundle      TEXT NOT NULL,
    slip        TEXT NOT NULL,
    disposition TEXT NOT NULL,
    until       TEXT NOT NULL,
    why         TEXT NOT NULL,
    evidence    TEXT NOT NULL,
    digest      TEXT NOT NULL,
    proposer    TEXT NOT NULL,
    at_us       INTEGER NOT NULL,
    outcome     TEXT NOT NULL CHECK (outcome IN ('', 'approved', 'rejected')),
    decided_by  TEXT NOT NULL,
    decided_us  INTEGER NOT NULL,
    reason      TEXT NOT NULL,
    PRIMARY KEY (site, proposal)
) STRICT;

CREATE INDEX proposal_lot ON proposal (site, lot);
CREATE INDEX proposal_open ON proposal (site, at_us) WHERE outcome = '';

-- What was seen of a bundle or a slip: a spot check, a complaint.
CREATE TABLE remark (
    site    TEXT NOT NULL,
    seq     INTEGER NOT NULL,
    lot     TEXT NOT NULL,
    bundle  TEXT NOT NULL,
    slip    TEXT NOT NULL,
    what    TEXT NOT NULL,
    words   TEXT NOT NULL,
    seen_by TEXT NOT NULL,
    at_us   INTEGER NOT NULL,
    PRIMARY KEY (site, seq)
) STRICT;

CREATE INDEX remark_lot ON remark (site, lot);
