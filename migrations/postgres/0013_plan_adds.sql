-- A load of planned joints may be laid over the plan before it, instead of
-- taking its place.

-- +goose Up

ALTER TABLE plan ADD COLUMN adds BIGINT NOT NULL DEFAULT 0 CHECK (adds IN (0, 1));
