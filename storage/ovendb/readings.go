package ovendb

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Reading is one reading of one sensor.
type Reading struct {
	Sensor string
	At     measure.Instant
	Temp   measure.Temperature
}

// Readings returns a sensor's readings from one instant to another, both
// included, in order of time.
func Readings(ctx context.Context, tx *sqlx.Tx, site, sensor string, from, to measure.Instant) ([]evidence.Reading, error) {
	return KnownReadings(ctx, tx, site, sensor, from, to, 0)
}

// KnownReadings returns of those the ones that were known by an instant; zero:
// all. One that was stored before its arrival was kept counts as known from when
// it was made.
func KnownReadings(ctx context.Context, tx *sqlx.Tx, site, sensor string, from, to, known measure.Instant) ([]evidence.Reading, error) {
	if known == 0 {
		return scanned(tx.QueryContext(ctx, `SELECT at_us, temp_k FROM reading
			WHERE site = $1 AND sensor = $2 AND at_us >= $3 AND at_us <= $4 ORDER BY at_us`, site, sensor, from, to))
	}
	return scanned(tx.QueryContext(ctx, `SELECT at_us, temp_k FROM reading
		WHERE site = $1 AND sensor = $2 AND at_us >= $3 AND at_us <= $4 AND (noted_us IS NULL OR noted_us <= $5)
		ORDER BY at_us`, site, sensor, from, min(to, known), known))
}

// scanned scans readings one by one: there are many.
func scanned(rows *sql.Rows, failed error) (list []evidence.Reading, err error) {
	if failed != nil {
		return nil, failed
	}
	defer func() {
		if cerr := rows.Close(); err == nil {
			err = cerr
		}
	}()
	var at, temp int64 // plain numbers are scanned without reflection, at half the cost
	for rows.Next() {
		if err := rows.Scan(&at, &temp); err != nil {
			return nil, err
		}
		list = append(list, evidence.Reading{At: measure.Instant(at), Temp: measure.Temperature(temp)})
	}
	return list, rows.Err()
}

// Latest returns a sensor's newest reading by an instant; false where there is
// none.
func Latest(ctx context.Context, tx *sqlx.Tx, site, sensor string, by measure.Instant) (evidence.Reading, bool, error) {
	var rows []struct {
		At   measure.Instant     `db:"at_us"`
		Temp measure.Temperature `db:"temp_k"`
	}
	err := tx.SelectContext(ctx, &rows, `SELECT at_us, temp_k FROM reading
		WHERE site = $1 AND sensor = $2 AND at_us <= $3 ORDER BY at_us DESC LIMIT 1`, site, sensor, by)
	if err != nil || len(rows) == 0 {
		return evidence.Reading{}, false, err
	}
	return evidence.Reading{At: rows[0].At, Temp: rows[0].Temp}, true, nil
}

// Digest returns how many readings a sensor has from one instant up to another
// and their SHA-256: each as two big-endian 64-bit numbers, the instant in
// microseconds and the temperature in 1/900 °C, in order of time.
func Digest(ctx context.Context, tx *sqlx.Tx, site, sensor string, from, to measure.Instant) (int64, string, error) {
	list, err := Readings(ctx, tx, site, sensor, from, to-1)
	if err != nil {
		return 0, "", err
	}
	sum := sha256.New()
	var b [16]byte
	for _, r := range list {
		binary.BigEndian.PutUint64(b[:8], uint64(r.At))
		binary.BigEndian.PutUint64(b[8:], uint64(r.Temp))
		sum.Write(b[:])
	}
	return int64(len(list)), hex.EncodeToString(sum.Sum(nil)), nil
}
