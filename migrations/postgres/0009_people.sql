-- People and what they decide: who may do what since when, training on rule
-- sets, proposals that wait for QA, and what was seen.

-- +goose Up

-- What each fact says of a person. Of several the one with the latest since by
-- a day holds on that day. An office is any role but a welder's; the flag stays
-- with a person who ever held one.
CREATE TABLE person (
    site   TEXT COLLATE "C" NOT NULL,
    person TEXT COLLATE "C" NOT NULL CHECK (person <> ''),
    seq    BIGINT NOT NULL,
    name   TEXT COLLATE "C" NOT NULL,
    roles  TEXT COLLATE "C" NOT NULL,
    since  TEXT COLLATE "C" NOT NULL CHECK (since <> ''),
    until  TEXT COLLATE "C" NOT NULL,
    office BIGINT NOT NULL CHECK (office IN (0, 1)),
    PRIMARY KEY (site, person, seq)
);

CREATE INDEX person_office ON person (site, person) WHERE office = 1;

CREATE TABLE training (
    site   TEXT COLLATE "C" NOT NULL,
    person TEXT COLLATE "C" NOT NULL,
    rules  TEXT COLLATE "C" NOT NULL,
    on_day TEXT COLLATE "C" NOT NULL CHECK (on_day <> ''),
    PRIMARY KEY (site, person, rules, on_day)
);

-- A proposal waits until it is approved or rejected. Exactly one of bundle and
-- its lot as a whole is proposed about; lot is always known.
CREATE TABLE proposal (
    site        TEXT COLLATE "C" NOT NULL,
    proposal    TEXT COLLATE "C" NOT NULL CHECK (proposal <> ''),
    seq         BIGINT NOT NULL,
    lot         TEXT COLLATE "C" NOT NULL CHECK (lot <> ''),
    bundle      TEXT COLLATE "C" NOT NULL,
    slip        TEXT COLLATE "C" NOT NULL,
    disposition TEXT COLLATE "C" NOT NULL,
    until       TEXT COLLATE "C" NOT NULL,
    why         TEXT COLLATE "C" NOT NULL,
    evidence    TEXT COLLATE "C" NOT NULL,
    digest      TEXT COLLATE "C" NOT NULL,
    proposer    TEXT COLLATE "C" NOT NULL,
    at_us       BIGINT NOT NULL,
    outcome     TEXT COLLATE "C" NOT NULL CHECK (outcome IN ('', 'approved', 'rejected')),
    decided_by  TEXT COLLATE "C" NOT NULL,
    decided_us  BIGINT NOT NULL,
    reason      TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (site, proposal)
);

CREATE INDEX proposal_lot ON proposal (site, lot);
CREATE INDEX proposal_open ON proposal (site, at_us) WHERE outcome = '';

-- What was seen of a bundle or a slip: a spot check, a complaint.
CREATE TABLE remark (
    site    TEXT COLLATE "C" NOT NULL,
    seq     BIGINT NOT NULL,
    lot     TEXT COLLATE "C" NOT NULL,
    bundle  TEXT COLLATE "C" NOT NULL,
    slip    TEXT COLLATE "C" NOT NULL,
    what    TEXT COLLATE "C" NOT NULL,
    words   TEXT COLLATE "C" NOT NULL,
    seen_by TEXT COLLATE "C" NOT NULL,
    at_us   BIGINT NOT NULL,
    PRIMARY KEY (site, seq)
);

CREATE INDEX remark_lot ON remark (site, lot);
