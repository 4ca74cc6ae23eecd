package app

import (
	"context"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// CheckedSensor is a sensor with what checks of it found, oldest first.
type CheckedSensor struct {
	ovendb.Sensor
	Checks []evidence.Calibration
}

// Sensors returns every sensor of the site with its checks.
func (a *App) Sensors(ctx context.Context) (list []CheckedSensor, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list = nil
		sensors, err := ovendb.Sensors(ctx, v.tx, v.site, "")
		if err != nil {
			return err
		}
		for _, s := range sensors {
			checks, err := ovendb.Calibrations(ctx, v.tx, v.site, s.Name)
			if err != nil {
				return err
			}
			list = append(list, CheckedSensor{s, checks})
		}
		return nil
	})
	return list, err
}

// ChecksOf returns one sensor with its checks. The error is a *inventory.Refusal
// for a sensor that there is not.
func (a *App) ChecksOf(ctx context.Context, sensor string) (s CheckedSensor, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		s.Sensor, s.Checks, err = v.checksOf(sensor)
		return err
	})
	return s, err
}

// ReadBetween returns what one sensor showed from one instant to another, both
// included.
func (a *App) ReadBetween(ctx context.Context, sensor string, from, to measure.Instant) (list []evidence.Reading, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = ovendb.KnownReadings(ctx, v.kept(), v.site, sensor, from, to, v.known)
		return err
	})
	return list, err
}
