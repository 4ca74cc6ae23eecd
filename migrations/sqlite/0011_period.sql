-- When a reading came in is kept, so that what was known at an instant can be
-- told from what is known now. What reports ask of a stretch of time is looked up
-- by when it happened.

-- +goose Up

ALTER TABLE reading ADD COLUMN noted_us INTEGER;

CREATE INDEX fact_kind ON fact (site, kind, at_us);
CREATE INDEX slip_at ON slip (site, at_us);
CREATE INDEX slip_closed ON slip (site, closed_us) WHERE closed_us IS NOT NULL;
CREATE INDEX stay_bake ON stay (site, from_us) WHERE bake_set_k IS NOT NULL;
CREATE INDEX loss_at ON loss (site, at_us);
CREATE INDEX remark_at ON remark (site, at_us);
CREATE INDEX turned_away_at ON turned_away (site, at_us);
CREATE INDEX alarm_cleared ON alarm (site, cleared_us) WHERE cleared_us IS NOT NULL;
