package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// Flagged is a value that came in and proves nothing. It is kept as it was written.
type Flagged struct {
	Sensor  string          `db:"sensor"`
	Place   string          `db:"place"` // empty where no place is known
	At      measure.Instant `db:"at_us"` // when it was read; when it came in where that cannot be told
	Quality feed.Quality    `db:"quality"`
	Value   string          `db:"value"`
	Why     string          `db:"why"`
	Noted   measure.Instant `db:"noted_us"` // when it came in
	Source
}

// Flag keeps values that prove nothing and returns how many were not kept before.
func Flag(ctx context.Context, tx *sqlx.Tx, site string, source int64, list []Flagged) (added int64, err error) {
	for _, f := range list {
		res, err := tx.ExecContext(ctx, `INSERT INTO reading_flagged (site, source, sensor, place, at_us, quality, value, why, noted_us)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
			ON CONFLICT (site, sensor, at_us, quality, value, source) DO NOTHING`,
			site, source, f.Sensor, f.Place, f.At, string(f.Quality), f.Value, f.Why, f.Noted)
		if err != nil {
			return added, fmt.Errorf("flag a value of %s: %w", f.Sensor, err)
		}
		n, err := res.RowsAffected()
		if err != nil {
			return added, err
		}
		added += n
	}
	return added, nil
}

// FlaggedAt returns the flagged values of a place in a stretch of time, both ends
// included, in order of time; of every place, and those of none, for an empty name.
func FlaggedAt(ctx context.Context, tx *sqlx.Tx, site, place string, from, to measure.Instant) ([]Flagged, error) {
	var list []Flagged
	err := tx.SelectContext(ctx, &list, `SELECT f.sensor AS sensor, f.place AS place, f.at_us AS at_us, f.quality AS quality,
			f.value AS value, f.why AS why, f.noted_us AS noted_us,
			coalesce(s.kind, '') AS kind, coalesce(s.name, '') AS name, coalesce(s.unit, '') AS unit
		FROM reading_flagged AS f LEFT JOIN reading_source AS s ON s.site = f.site AND s.n = f.source
		WHERE f.site = $1 AND ($2 = '' OR f.place = $2) AND f.at_us >= $3 AND f.at_us <= $4
		ORDER BY f.at_us, f.sensor, f.quality, f.value`, site, place, from, to)
	if err != nil {
		return nil, fmt.Errorf("flagged values: %w", err)
	}
	return list, nil
}
