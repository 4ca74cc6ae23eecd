-- What the buyer of a site sets: every file that was loaded, whole, as a
-- revision. The newest revision holds.

-- +goose Up

CREATE TABLE buying (
    site      TEXT    NOT NULL REFERENCES head (site),
    revision  INTEGER NOT NULL CHECK (revision >= 1),
    loaded_us INTEGER NOT NULL,
    by_who    TEXT    NOT NULL CHECK (by_who <> ''),
    name      TEXT    NOT NULL CHECK (name <> ''),
    body      BLOB    NOT NULL CHECK (length(body) > 0),
    PRIMARY KEY (site, revision)
) STRICT;
