package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// SourceKind is by which way readings come.
type SourceKind string

// The ways by which readings come.
const (
	Typed    SourceKind = "typed"    // a person read them and entered them
	File     SourceKind = "file"     // a file that a person loaded
	Folder   SourceKind = "folder"   // a file that a logger wrote into a watched folder
	Push     SourceKind = "push"     // a logger sent them to the daemon
	Topic    SourceKind = "topic"    // a message of a broker
	Register SourceKind = "register" // polled from a device
)

// Source is where readings come from.
type Source struct {
	Kind SourceKind `db:"kind" json:"kind"`
	Name string     `db:"name" json:"name"` // as the settings call it; of a file, the file's
	Unit string     `db:"unit" json:"unit"` // "C" or "F" that it writes in; empty: each value says
}

// String prints the way and the name.
func (s Source) String() string {
	if s.Name == "" {
		return string(s.Kind)
	}
	return string(s.Kind) + " " + s.Name
}

// Arrival is when readings came in, and where from.
type Arrival struct {
	Noted  measure.Instant
	Source int64 // its number, see SourceNumber; 0: not kept
}

// source is the number for SQL: NULL where the source is not kept.
func (a Arrival) source() any {
	if a.Source == 0 {
		return nil
	}
	return a.Source
}

// SourceNumber returns the number of a source at a site, under which its readings
// are stored; a source that is new gets the next.
func SourceNumber(ctx context.Context, tx *sqlx.Tx, site string, s Source) (int64, error) {
	// Two writers of PostgreSQL may want one number for two sources: the second
	// waits for the first, adds nothing, and takes the next.
	for {
		n, err := numberOf(ctx, tx, site, s)
		if n != 0 || err != nil {
			return n, err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO reading_source (site, n, kind, name, unit)
			SELECT $1, CAST(coalesce(max(n), 0) + 1 AS BIGINT), $2, $3, $4 FROM reading_source WHERE site = $1
			ON CONFLICT DO NOTHING`, site, string(s.Kind), s.Name, s.Unit)
		if err != nil {
			return 0, fmt.Errorf("source %s: %w", s, err)
		}
	}
}

func numberOf(ctx context.Context, tx *sqlx.Tx, site string, s Source) (int64, error) {
	var list []int64
	err := tx.SelectContext(ctx, &list, `SELECT n FROM reading_source
		WHERE site = $1 AND kind = $2 AND name = $3 AND unit = $4`, site, string(s.Kind), s.Name, s.Unit)
	if err != nil {
		return 0, fmt.Errorf("source %s: %w", s, err)
	}
	if len(list) == 0 {
		return 0, nil
	}
	return list[0], nil
}

// Share is how many readings of a sensor came from a source in a stretch of time.
type Share struct {
	Source
	Sensor string          `db:"sensor"`
	Count  int64           `db:"count"`
	First  measure.Instant `db:"first_us"`
	Last   measure.Instant `db:"last_us"`
}

// Shares returns from where a sensor's readings of a stretch of time came, both
// ends included. Readings that were stored before sources were kept have a Source
// without a kind.
func Shares(ctx context.Context, tx *sqlx.Tx, site, sensor string, from, to measure.Instant) ([]Share, error) {
	var list []Share
	err := tx.SelectContext(ctx, &list, `SELECT coalesce(s.kind, '') AS kind, coalesce(s.name, '') AS name,
			coalesce(s.unit, '') AS unit, r.sensor AS sensor, count(*) AS count, min(r.at_us) AS first_us, max(r.at_us) AS last_us
		FROM reading AS r LEFT JOIN reading_source AS s ON s.site = r.site AND s.n = r.source
		WHERE r.site = $1 AND r.sensor = $2 AND r.at_us >= $3 AND r.at_us <= $4
		GROUP BY s.kind, s.name, s.unit, r.sensor ORDER BY first_us, kind, name, unit`, site, sensor, from, to)
	if err != nil {
		return nil, fmt.Errorf("sources of sensor %s: %w", sensor, err)
	}
	return list, nil
}
