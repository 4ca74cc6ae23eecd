// Package ovendb keeps places, sensors, calibrations and readings in SQL.
package ovendb

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/evidence"
)

// Sensor is a sensor with the place it is at.
type Sensor struct {
	Name     string            `db:"sensor" json:"sensor"`
	Place    string            `db:"place" json:"place"`
	Position evidence.Position `db:"position" json:"position,omitempty"` // empty where nobody has said
}

// Places returns the places that a site set up, in the order of their names.
func Places(ctx context.Context, tx *sqlx.Tx, site string) ([]inventory.Place, error) {
	var list []inventory.Place
	err := tx.SelectContext(ctx, &list, `SELECT place, kind FROM place WHERE site = $1 ORDER BY place`, site)
	return list, err
}

// Sensors returns the sensors at a place, or all of a site for an empty name.
func Sensors(ctx context.Context, tx *sqlx.Tx, site, place string) ([]Sensor, error) {
	var list []Sensor
	err := tx.SelectContext(ctx, &list, `SELECT sensor, place, position FROM sensor
		WHERE site = $1 AND ($2 = '' OR place = $2) ORDER BY sensor`, site, place)
	return list, err
}

// FindSensor returns a sensor by its name. The error wraps db.ErrNotFound. A name
// that is written in other letters is meant where one sensor alone has it.
func FindSensor(ctx context.Context, tx *sqlx.Tx, site, name string) (Sensor, error) {
	var s Sensor
	err := tx.GetContext(ctx, &s, `SELECT sensor, place, position FROM sensor WHERE site = $1 AND sensor = $2`, site, name)
	if err == nil {
		return s, nil
	}
	if err = db.NotFound(err); !errors.Is(err, db.ErrNotFound) {
		return s, fmt.Errorf("sensor %s: %w", name, err)
	}
	all, listErr := Sensors(ctx, tx, site, "")
	if listErr != nil {
		return s, listErr
	}
	all = slices.DeleteFunc(all, func(o Sensor) bool { return !inventory.SameName(o.Name, name) })
	if len(all) == 1 {
		return all[0], nil
	}
	return s, fmt.Errorf("sensor %s: %w", name, err)
}

// Evidence returns the readings of a place's sensors from one instant to
// another, both included, corrected by their calibrations, and when the place was
// shut down. It is nil for a place without a sensor.
func Evidence(ctx context.Context, tx *sqlx.Tx, site, place string, from, to measure.Instant) (*evidence.Place, error) {
	return EvidenceAs(ctx, tx, site, place, from, to, Asked{})
}

// Asked says how evidence is looked at where it is not as all of it stands now.
type Asked struct {
	Logs  *sqlx.Tx        // where the readings are, if not where the rest is; nil: there
	Known measure.Instant // only what was known by then; zero: all that there is

	// Checks says which checks of a sensor count instead of those that were made;
	// nil: those.
	Checks func(sensor string, made []evidence.Calibration) []evidence.Calibration
}

// EvidenceAs is Evidence looked at in another way.
func EvidenceAs(ctx context.Context, tx *sqlx.Tx, site, place string, from, to measure.Instant, as Asked) (*evidence.Place, error) {
	sensors, err := Sensors(ctx, tx, site, place)
	if err != nil || len(sensors) == 0 {
		return nil, err
	}
	var tracks []evidence.Track
	for _, s := range sensors {
		readings, err := KnownReadings(ctx, cmp.Or(as.Logs, tx), site, s.Name, from, to, as.Known)
		if err != nil {
			return nil, err
		}
		calibrations, err := Calibrations(ctx, tx, site, s.Name)
		if err != nil {
			return nil, err
		}
		if as.Checks != nil {
			calibrations = as.Checks(s.Name, calibrations)
		}
		tracks = append(tracks, evidence.NewTrack(readings, calibrations).Named(s.Name, s.Position))
	}
	p := evidence.NewPlace(tracks...)
	off, err := Shutdowns(ctx, tx, site, place, from, to)
	if err != nil {
		return nil, err
	}
	for _, o := range off {
		p.ShutDown(o.Off)
	}
	return p, nil
}

// Calibrations returns what checks of a sensor found, oldest first.
func Calibrations(ctx context.Context, tx *sqlx.Tx, site, sensor string) ([]evidence.Calibration, error) {
	var rows []struct {
		At    measure.Instant     `db:"at_us"`
		Error measure.Temperature `db:"error_k"`
		Due   measure.Instant     `db:"due_us"`
		Found *int64              `db:"found_k"`
	}
	err := tx.SelectContext(ctx, &rows, `SELECT at_us, error_k, due_us, found_k FROM calibration
		WHERE site = $1 AND sensor = $2 ORDER BY at_us`, site, sensor)
	if err != nil {
		return nil, err
	}
	list := make([]evidence.Calibration, len(rows))
	for i, r := range rows {
		list[i] = evidence.Calibration{At: r.At, Error: r.Error, Due: r.Due}
		if r.Found != nil {
			list[i].Found, list[i].HasFound = measure.Temperature(*r.Found), true
		}
	}
	return list, nil
}

// Apply changes the tables as a fact about places and sensors says. A due date
// is a day on the site's clock: due says when it begins.
func Apply(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e inventory.Entry, due func(measure.Date) (measure.Instant, error)) error {
	var err error
	switch e := e.(type) {
	case *inventory.PlaceSet:
		_, err = tx.ExecContext(ctx, `INSERT INTO place (site, place, kind) VALUES ($1, $2, $3)
			ON CONFLICT (site, place) DO UPDATE SET kind = excluded.kind`, f.Site, e.Place, e.SortKind)
	case *inventory.SensorSet:
		_, err = tx.ExecContext(ctx, `INSERT INTO sensor (site, sensor, place, position) VALUES ($1, $2, $3, $4)
			ON CONFLICT (site, sensor) DO UPDATE SET place = excluded.place, position = excluded.position`,
			f.Site, e.Sensor, e.Place, e.Position)
	case *inventory.Calibrated:
		err = calibrate(ctx, tx, f, e, due)
	case *inventory.ShutDown:
		err = shutDown(ctx, tx, f, e)
	case *inventory.OvenChecked:
		err = checked(ctx, tx, f, e)
	case *inventory.ClimateRead:
		err = keepClimate(ctx, tx, f, e)
	}
	if err != nil {
		return fmt.Errorf("fact %d of site %s (%s): %w", f.Seq, f.Site, f.Kind, err)
	}
	return nil
}
