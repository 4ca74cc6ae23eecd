package plandb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// Told is one forecast as it was told.
type Told struct {
	Number   int64           `db:"number"` // from 1, without a gap
	At       measure.Instant `db:"told_us"`
	By       string          `db:"by_who"`
	Revision int64           `db:"revision"` // of the plan
	Weeks    int64           `db:"weeks"`    // that it covers, from that in which it was told
}

// ToldWeek is what was told of one item in one week, in thousandths of a piece. An
// item that a forecast does not name was told to take nothing.
type ToldWeek struct {
	Monday   measure.Date   `db:"monday"`
	Class    string         `db:"class"`
	Diameter measure.Length `db:"diameter_nm"`
	Mean     int64          `db:"mean_mp"`
	P50      int64          `db:"p50_mp"`
	P90      int64          `db:"p90_mp"`
}

// Item returns the item that it speaks of.
func (w ToldWeek) Item() joint.Item { return joint.Item{Class: w.Class, Diameter: w.Diameter} }

// AppendTold keeps a forecast of a site and returns it with its number. The site's
// head must be locked.
func AppendTold(ctx context.Context, tx *sqlx.Tx, site string, t Told, weeks []ToldWeek) (Told, error) {
	err := tx.GetContext(ctx, &t.Number, `SELECT COALESCE(max(number), 0) + 1 FROM forecast WHERE site = $1`, site)
	if err != nil {
		return Told{}, fmt.Errorf("next forecast of site %q: %w", site, err)
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO forecast (site, number, told_us, by_who, revision, weeks)
		VALUES ($1, $2, $3, $4, $5, $6)`, site, t.Number, t.At, t.By, t.Revision, t.Weeks)
	if err != nil {
		return Told{}, fmt.Errorf("forecast %d of site %q: %w", t.Number, site, err)
	}
	for _, w := range weeks {
		_, err = tx.ExecContext(ctx, `INSERT INTO forecast_week (site, number, monday, class, diameter_nm, mean_mp, p50_mp, p90_mp)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`, site, t.Number, w.Monday, w.Class, w.Diameter, w.Mean, w.P50, w.P90)
		if err != nil {
			return Told{}, fmt.Errorf("forecast %d of site %q, week of %s: %w", t.Number, site, w.Monday, err)
		}
	}
	return t, nil
}

// ToldSince returns the forecasts of a site that were told at or after an instant,
// in order.
func ToldSince(ctx context.Context, tx *sqlx.Tx, site string, from measure.Instant) ([]Told, error) {
	var list []Told
	err := tx.SelectContext(ctx, &list, `SELECT number, told_us, by_who, revision, weeks FROM forecast
		WHERE site = $1 AND told_us >= $2 ORDER BY number`, site, from)
	if err != nil {
		return nil, fmt.Errorf("forecasts of site %q: %w", site, err)
	}
	return list, nil
}

// ToldWeeks returns what a forecast told of the week that begins on a Monday, by
// class and size.
func ToldWeeks(ctx context.Context, tx *sqlx.Tx, site string, number int64, monday measure.Date) ([]ToldWeek, error) {
	var list []ToldWeek
	err := tx.SelectContext(ctx, &list, `SELECT monday, class, diameter_nm, mean_mp, p50_mp, p90_mp FROM forecast_week
		WHERE site = $1 AND number = $2 AND monday = $3 ORDER BY class, diameter_nm`, site, number, monday)
	if err != nil {
		return nil, fmt.Errorf("forecast %d of site %q, week of %s: %w", number, site, monday, err)
	}
	return list, nil
}
