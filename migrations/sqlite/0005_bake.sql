-- What a bake is judged by besides its readings: where a sensor is in its place
-- ('' and 'air': in the air, 'load': among the rods), what the maker calls a
-- lot's product, and how deep flux lay (0: not said).

-- +goose Up

ALTER TABLE sensor ADD COLUMN position TEXT NOT NULL DEFAULT '' CHECK (position IN ('', 'air', 'load'));

ALTER TABLE lot ADD COLUMN product TEXT NOT NULL DEFAULT '';

ALTER TABLE stay ADD COLUMN bake_depth_nm INTEGER NOT NULL DEFAULT 0 CHECK (bake_depth_nm >= 0);
