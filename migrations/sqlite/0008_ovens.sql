-- Holds the number of a step that is not written yet, because numbers have no
-- gap. The step takes this file's place.

-- +goose Up

SELECT 1;
