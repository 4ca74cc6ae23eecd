package ovendb

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// dates tells when a day on the site's clock begins.
type dates = func(measure.Date) (measure.Instant, error)

// Check is what an entry says of a check of a sensor that was made at an instant.
func Check(e *inventory.Calibrated, at measure.Instant, due dates) (c evidence.Calibration, err error) {
	c.At = at
	if c.Error, err = measure.ParseTemperatureDifference(e.Error); err != nil {
		return c, err
	}
	if e.AsFound != "" {
		c.HasFound = true
		if c.Found, err = measure.ParseTemperatureDifference(e.AsFound); err != nil {
			return c, err
		}
	}
	if e.Due != "" {
		c.Due, err = due(measure.Date(e.Due))
	}
	return c, err
}

func calibrate(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e *inventory.Calibrated, due dates) error {
	c, err := Check(e, f.At, due)
	if err != nil {
		return err
	}
	var found *int64
	if c.HasFound {
		k := int64(c.Found)
		found = &k
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO calibration (site, sensor, at_us, error_k, due_us, found_k)
		VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (site, sensor, at_us) DO UPDATE
		SET error_k = excluded.error_k, due_us = excluded.due_us, found_k = excluded.found_k`,
		f.Site, e.Sensor, f.At, int64(c.Error), int64(c.Due), found)
	return err
}
