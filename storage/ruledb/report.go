package ruledb

import (
	"context"
	"fmt"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/rules"
)

// Report is a test report as it was recorded.
type Report struct {
	Seq       int64               `db:"seq"`
	Maker     string              `db:"maker"`
	Class     string              `db:"class"`
	Exposed   measure.Duration    `db:"exposed_us"`
	Temp      measure.Temperature `db:"temp_k"`
	RH        measure.Humidity    `db:"rh_pp"`
	Moisture  measure.Content     `db:"moisture_pp"` // negative: not stated
	Reference string              `db:"reference"`
	Expires   measure.Date        `db:"expires"` // the last day on which it counts, empty for no end
	At        measure.Instant     `db:"at_us"`
	By        string              `db:"by_who"`
}

// InForce returns the report as rules want to see it, on a site's clock.
func (r Report) InForce(zone *time.Location) *rules.Report {
	out := &rules.Report{Reference: r.Reference, Maker: r.Maker, Class: r.Class, Hours: r.Exposed,
		Air: air.Air{Temp: r.Temp, RH: r.RH}, Moisture: r.Moisture, From: r.At}
	if r.Expires != "" {
		out.Until = r.Expires.End(zone)
	}
	return out
}

const reportColumns = `seq, maker, class, exposed_us, temp_k, rh_pp, moisture_pp, reference, expires, at_us, by_who`

// Reports returns the test reports of a site in the order of maker, class and
// time.
func Reports(ctx context.Context, tx *sqlx.Tx, site string) (list []Report, err error) {
	err = tx.SelectContext(ctx, &list, `SELECT `+reportColumns+` FROM test_report
		WHERE site = $1 ORDER BY maker, class, at_us, seq`, site)
	return list, err
}

// ReportsOf returns the test reports of a class that were recorded by an instant,
// the newest first.
func ReportsOf(ctx context.Context, tx *sqlx.Tx, site, class string, by measure.Instant) (list []Report, err error) {
	err = tx.SelectContext(ctx, &list, `SELECT `+reportColumns+` FROM test_report
		WHERE site = $1 AND class = $2 AND at_us <= $3 ORDER BY at_us DESC, seq DESC`, site, class, by)
	if err != nil {
		return nil, fmt.Errorf("test reports of %s: %w", class, err)
	}
	return list, nil
}

// keepReport stores a report that was decided.
func keepReport(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e *inventory.TestReported) error {
	r, err := ReadReport(e)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO test_report (site, `+reportColumns+`)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`, f.Site, f.Seq, e.Maker, e.Class,
		r.Exposed, r.Temp, r.RH, r.Moisture, e.Reference, e.Expires, f.At, f.By)
	return err
}

// ReadReport reads the quantities of an entry. The error names the field.
func ReadReport(e *inventory.TestReported) (r Report, err error) {
	if r.Exposed, err = measure.ParseDuration(e.Hours); err != nil {
		return r, inventory.FieldRefusal("hours", err)
	}
	if r.Temp, err = measure.ParseTemperature(e.Temperature); err != nil {
		return r, inventory.FieldRefusal("temperature", err)
	}
	if r.RH, err = measure.ParseHumidity(e.Humidity); err != nil {
		return r, inventory.FieldRefusal("humidity", err)
	}
	if r.Moisture = -1; e.Moisture == "" {
		return r, nil
	}
	if r.Moisture, err = measure.ParseContent(e.Moisture); err != nil {
		return r, inventory.FieldRefusal("moisture", err)
	}
	return r, nil
}
