-- The ledger: one row a fact, and one row a site with the newest end of its chain.

-- +goose Up

CREATE TABLE head (
    site     TEXT    NOT NULL PRIMARY KEY CHECK (site <> ''),
    seq      INTEGER NOT NULL CHECK (seq >= 0),
    hash     TEXT    NOT NULL CHECK (length(hash) = 64),
    noted_us INTEGER NOT NULL
) STRICT;

CREATE TABLE fact (
    site       TEXT    NOT NULL REFERENCES head (site),
    seq        INTEGER NOT NULL CHECK (seq >= 1),
    id         TEXT    NOT NULL CHECK (length(id) = 36),
    kind       TEXT    NOT NULL CHECK (kind <> ''),
    at_us      INTEGER NOT NULL,
    noted_us   INTEGER NOT NULL,
    by_who     TEXT    NOT NULL CHECK (by_who <> ''),
    via        TEXT    NOT NULL CHECK (via <> ''),
    body       TEXT    NOT NULL CHECK (body <> ''),
    supersedes TEXT    NOT NULL CHECK (supersedes = '' OR (supersedes <> id AND reason <> '')),
    reason     TEXT    NOT NULL,
    prev       TEXT    NOT NULL CHECK (length(prev) = 64),
    hash       TEXT    NOT NULL CHECK (length(hash) = 64),
    encoding   INTEGER NOT NULL CHECK (encoding >= 1),
    PRIMARY KEY (site, seq),
    UNIQUE (site, id)
) STRICT;

CREATE UNIQUE INDEX fact_supersedes ON fact (site, supersedes) WHERE supersedes <> '';

-- +goose StatementBegin
CREATE TRIGGER fact_no_update BEFORE UPDATE ON fact
BEGIN
    SELECT RAISE(ABORT, 'a fact is never changed: record a correction that supersedes it');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER fact_no_delete BEFORE DELETE ON fact
BEGIN
    SELECT RAISE(ABORT, 'a fact is never deleted: record a correction that supersedes it');
END;
-- +goose StatementEnd

-- INSERT OR REPLACE removes the row in its way without asking the trigger on DELETE.
-- +goose StatementBegin
CREATE TRIGGER fact_no_replace BEFORE INSERT ON fact
WHEN EXISTS (SELECT 1 FROM fact WHERE site = NEW.site AND seq = NEW.seq)
    OR EXISTS (SELECT 1 FROM fact WHERE site = NEW.site AND id = NEW.id)
    OR (NEW.supersedes <> '' AND EXISTS (
        SELECT 1 FROM fact
        WHERE site = NEW.site AND supersedes = NEW.supersedes AND supersedes <> ''))
BEGIN
    SELECT RAISE(ABORT, 'a fact is never replaced: its number, its id or what it supersedes is taken');
END;
-- +goose StatementEnd
