package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
)

// Climate is the air of a place as a person read it.
type Climate struct {
	Place   string              `db:"place"`
	At      measure.Instant     `db:"at_us"`
	Temp    measure.Temperature `db:"temp_k"`
	RH      measure.Humidity    `db:"rh_pp"`
	Weather string              `db:"weather"`
	By      string              `db:"by_who"`
}

// Air returns what was read.
func (c Climate) Air() air.Air { return air.Air{Temp: c.Temp, RH: c.RH} }

// Climates returns what was read of the air of a place from one instant to
// another, both included, in order of time.
func Climates(ctx context.Context, tx *sqlx.Tx, site, place string, from, to measure.Instant) (list []Climate, err error) {
	err = tx.SelectContext(ctx, &list, `SELECT place, at_us, temp_k, rh_pp, weather, by_who FROM climate
		WHERE site = $1 AND place = $2 AND at_us >= $3 AND at_us <= $4 ORDER BY at_us`, site, place, from, to)
	if err != nil {
		return nil, fmt.Errorf("climate of %s: %w", place, err)
	}
	return list, nil
}

// FirstClimate returns when the air of a place was first read at an instant or
// after it, zero where it was not.
func FirstClimate(ctx context.Context, tx *sqlx.Tx, site, place string, from measure.Instant) (measure.Instant, error) {
	return oneInstant(ctx, tx, `SELECT at_us FROM climate WHERE site = $1 AND place = $2 AND at_us >= $3
		ORDER BY at_us LIMIT 1`, site, place, from)
}

// LastClimate returns when the air of a place was last read by an instant, zero
// where it was not.
func LastClimate(ctx context.Context, tx *sqlx.Tx, site, place string, by measure.Instant) (measure.Instant, error) {
	return oneInstant(ctx, tx, `SELECT at_us FROM climate WHERE site = $1 AND place = $2 AND at_us <= $3
		ORDER BY at_us DESC LIMIT 1`, site, place, by)
}

func oneInstant(ctx context.Context, tx *sqlx.Tx, query string, args ...any) (measure.Instant, error) {
	var list []measure.Instant
	if err := tx.SelectContext(ctx, &list, query, args...); err != nil {
		return 0, fmt.Errorf("climate: %w", err)
	}
	if len(list) == 0 {
		return 0, nil
	}
	return list[0], nil
}

// ClimatePlaces returns the places whose air was ever read, by name.
func ClimatePlaces(ctx context.Context, tx *sqlx.Tx, site string) (list []string, err error) {
	err = tx.SelectContext(ctx, &list, `SELECT DISTINCT place FROM climate WHERE site = $1 ORDER BY place`, site)
	return list, err
}

// keepClimate stores what was read of the air. A second reading at one instant
// puts the first right.
func keepClimate(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e *inventory.ClimateRead) error {
	t, err := measure.ParseTemperature(e.Temperature)
	if err != nil {
		return err
	}
	h, err := measure.ParseHumidity(e.Humidity)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO climate (site, place, at_us, temp_k, rh_pp, weather, by_who)
		VALUES ($1, $2, $3, $4, $5, $6, $7)
		ON CONFLICT (site, place, at_us) DO UPDATE SET temp_k = excluded.temp_k, rh_pp = excluded.rh_pp,
			weather = excluded.weather, by_who = excluded.by_who`,
		f.Site, e.Place, f.At, t, h, e.Weather, f.By)
	return err
}
