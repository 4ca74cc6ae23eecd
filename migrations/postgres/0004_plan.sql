-- The planned joints of a site: every file that was loaded, whole, as a
-- revision. The newest revision is the plan.

-- +goose Up

CREATE TABLE plan (
    site      TEXT COLLATE "C" NOT NULL REFERENCES head (site),
    revision  BIGINT           NOT NULL CHECK (revision >= 1),
    loaded_us BIGINT           NOT NULL,
    by_who    TEXT COLLATE "C" NOT NULL CHECK (by_who <> ''),
    name      TEXT COLLATE "C" NOT NULL CHECK (name <> ''),
    body      BYTEA            NOT NULL CHECK (length(body) > 0),
    joints    BIGINT           NOT NULL CHECK (joints >= 1),
    unread    BIGINT           NOT NULL CHECK (unread >= 0),
    PRIMARY KEY (site, revision)
);
