package ovendb

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/evidence"
)

// Reading is one reading of one sensor.
type Reading struct {
	Sensor string
	At     measure.Instant
	Temp   measure.Temperature
}

// Readings returns a sensor's readings from one instant to another, both
// included, in order of time. They are scanned one by one: there are many.
func Readings(ctx context.Context, tx *sqlx.Tx, site, sensor string, from, to measure.Instant) (list []evidence.Reading, err error) {
	rows, err := tx.QueryContext(ctx, `SELECT at_us, temp_k FROM reading
		WHERE site = $1 AND sensor = $2 AND at_us >= $3 AND at_us <= $4 ORDER BY at_us`, site, sensor, from, to)
	if err != nil {
		return nil, err
	}
	defer func() {
		if cerr := rows.Close(); err == nil {
			err = cerr
		}
	}()
	for rows.Next() {
		var r evidence.Reading
		if err := rows.Scan(&r.At, &r.Temp); err != nil {
			return nil, err
		}
		list = append(list, r)
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

// Add stores readings and returns how many were new. One that is there already
// (same sensor, same instant) is left as it was first stored.
func Add(ctx context.Context, tx *sqlx.Tx, site string, list []Reading) (added int64, err error) {
	if db.EngineOf(tx) == db.Postgres && len(list) > copyFrom {
		return addByCopy(ctx, tx, site, list)
	}
	stmt, err := tx.PrepareContext(ctx, `INSERT INTO reading (site, sensor, at_us, temp_k) VALUES ($1, $2, $3, $4)
		ON CONFLICT (site, sensor, at_us) DO NOTHING`)
	if err != nil {
		return 0, err
	}
	defer func() {
		if cerr := stmt.Close(); err == nil {
			err = cerr
		}
	}()
	for _, r := range list {
		res, err := stmt.ExecContext(ctx, site, r.Sensor, r.At, r.Temp)
		if err != nil {
			return 0, err
		}
		n, err := res.RowsAffected()
		if err != nil {
			return 0, err
		}
		added += n
	}
	return added, nil
}

// copyFrom is the number of rows from which PostgreSQL's COPY beats single
// inserts in spite of the table it goes through.
const copyFrom = 50

// addByCopy sends rows through a table of the transaction's own, because COPY
// itself cannot step over a row that is there already.
func addByCopy(ctx context.Context, tx *sqlx.Tx, site string, list []Reading) (int64, error) {
	if _, err := tx.ExecContext(ctx, `CREATE TEMPORARY TABLE IF NOT EXISTS incoming
		(n BIGINT, sensor TEXT, at_us BIGINT, temp_k BIGINT) ON COMMIT DELETE ROWS`); err != nil {
		return 0, err
	}
	if err := copyRows(ctx, tx, list); err != nil {
		return 0, err
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO reading (site, sensor, at_us, temp_k)
		SELECT $1, sensor, at_us, temp_k FROM incoming ORDER BY sensor, at_us, n
		ON CONFLICT (site, sensor, at_us) DO NOTHING`, site)
	if err != nil {
		return 0, err
	}
	if _, err := tx.ExecContext(ctx, `DELETE FROM incoming`); err != nil {
		return 0, err
	}
	return res.RowsAffected()
}

func copyRows(ctx context.Context, tx *sqlx.Tx, list []Reading) (err error) {
	stmt, err := tx.PrepareContext(ctx, `COPY incoming (n, sensor, at_us, temp_k) FROM STDIN`)
	if err != nil {
		return err
	}
	defer func() {
		if cerr := stmt.Close(); err == nil {
			err = cerr
		}
	}()
	for i, r := range list {
		if _, err := stmt.ExecContext(ctx, i, r.Sensor, int64(r.At), int64(r.Temp)); err != nil {
			return err
		}
	}
	_, err = stmt.ExecContext(ctx) // ends the copy and reports a bad row
	return err
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
