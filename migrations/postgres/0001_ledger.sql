-- The ledger: one row a fact, and one row a site with the newest end of its chain.

-- +goose Up

-- The head is rewritten with each fact: room on its page keeps that cheap.
CREATE TABLE head (
    site     TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (site <> ''),
    seq      BIGINT           NOT NULL CHECK (seq >= 0),
    hash     TEXT COLLATE "C" NOT NULL CHECK (length(hash) = 64),
    noted_us BIGINT           NOT NULL
) WITH (fillfactor = 50);

CREATE TABLE fact (
    site       TEXT COLLATE "C" NOT NULL REFERENCES head (site),
    seq        BIGINT           NOT NULL CHECK (seq >= 1),
    id         TEXT COLLATE "C" NOT NULL CHECK (length(id) = 36),
    kind       TEXT COLLATE "C" NOT NULL CHECK (kind <> ''),
    at_us      BIGINT           NOT NULL,
    noted_us   BIGINT           NOT NULL,
    by_who     TEXT COLLATE "C" NOT NULL CHECK (by_who <> ''),
    via        TEXT COLLATE "C" NOT NULL CHECK (via <> ''),
    body       TEXT COLLATE "C" NOT NULL CHECK (body <> ''),
    supersedes TEXT COLLATE "C" NOT NULL CHECK (supersedes = '' OR (supersedes <> id AND reason <> '')),
    reason     TEXT COLLATE "C" NOT NULL,
    prev       TEXT COLLATE "C" NOT NULL CHECK (length(prev) = 64),
    hash       TEXT COLLATE "C" NOT NULL CHECK (length(hash) = 64),
    encoding   BIGINT           NOT NULL CHECK (encoding >= 1),
    PRIMARY KEY (site, seq),
    UNIQUE (site, id)
);

CREATE UNIQUE INDEX fact_supersedes ON fact (site, supersedes) WHERE supersedes <> '';

-- +goose StatementBegin
CREATE FUNCTION refuse_fact_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'a fact is never %: record a correction that supersedes it',
        CASE TG_OP WHEN 'UPDATE' THEN 'changed' ELSE 'deleted' END
        USING ERRCODE = 'restrict_violation';
END;
$$;
-- +goose StatementEnd

CREATE TRIGGER fact_no_change BEFORE UPDATE OR DELETE OR TRUNCATE ON fact
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_fact_change();
