-- What the buyer of a site sets: every file that was loaded, whole, as a
-- revision. The newest revision holds.

-- +goose Up

CREATE TABLE buying (
    site      TEXT COLLATE "C" NOT NULL REFERENCES head (site),
    revision  BIGINT           NOT NULL CHECK (revision >= 1),
    loaded_us BIGINT           NOT NULL,
    by_who    TEXT COLLATE "C" NOT NULL CHECK (by_who <> ''),
    name      TEXT COLLATE "C" NOT NULL CHECK (name <> ''),
    body      BYTEA            NOT NULL CHECK (length(body) > 0),
    PRIMARY KEY (site, revision)
);
