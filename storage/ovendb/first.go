package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// FirstFrom returns when a sensor's first reading at an instant or after it was
// taken, zero where there is none.
func FirstFrom(ctx context.Context, tx *sqlx.Tx, site, sensor string, from measure.Instant) (measure.Instant, error) {
	var list []measure.Instant
	err := tx.SelectContext(ctx, &list, `SELECT at_us FROM reading
		WHERE site = $1 AND sensor = $2 AND at_us >= $3 ORDER BY at_us LIMIT 1`, site, sensor, from)
	if err != nil {
		return 0, fmt.Errorf("readings of sensor %s: %w", sensor, err)
	}
	if len(list) == 0 {
		return 0, nil
	}
	return list[0], nil
}
