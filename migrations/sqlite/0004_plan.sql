-- The planned joints of a site: every file that was loaded, whole, as a
-- revision. The newest revision is the plan.

-- +goose Up

CREATE TABLE plan (
    site      TEXT    NOT NULL REFERENCES head (site),
    revision  INTEGER NOT NULL CHECK (revision >= 1),
    loaded_us INTEGER NOT NULL,
    by_who    TEXT    NOT NULL CHECK (by_who <> ''),
    name      TEXT    NOT NULL CHECK (name <> ''),
    body      BLOB    NOT NULL CHECK (length(body) > 0),
    joints    INTEGER NOT NULL CHECK (joints >= 1),
    unread    INTEGER NOT NULL CHECK (unread >= 0),
    PRIMARY KEY (site, revision)
) STRICT;
