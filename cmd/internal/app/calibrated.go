package app

import (
	"cmp"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// calibrated checks what is said of a check of a sensor. A sensor that was not
// adjusted is left as it was found.
func (d *desk) calibrated(e *inventory.Calibrated) error {
	if _, err := ovendb.FindSensor(d.ctx, d.tx, d.site, e.Sensor); err != nil {
		return unknown("sensor", e.Sensor, "set it up with: ovenward oven sensor "+e.Sensor+" --place OVEN", err)
	}
	e.Error = cmp.Or(e.Error, e.AsFound)
	for name, text := range map[string]string{"error": e.Error, "as found": cmp.Or(e.AsFound, e.Error)} {
		if _, err := measure.ParseTemperatureDifference(text); err != nil {
			return inventory.FieldRefusal(name, err)
		}
	}
	if e.Due != "" {
		due, err := measure.ParseDate(e.Due)
		if err != nil {
			return inventory.FieldRefusal("due", err)
		}
		e.Due = string(due)
	}
	return d.unsaid(e)
}

// unsaid warns of a check that found another error than was known and leaves
// open what that means for the time before it.
func (d *desk) unsaid(e *inventory.Calibrated) error {
	made, err := ovendb.Calibrations(d.ctx, d.tx, d.site, e.Sensor)
	if err != nil || e.AsFound != "" {
		return err
	}
	now, err := ovendb.Check(e, d.at, d.dueOn)
	if err != nil {
		return err
	}
	var before *evidence.Calibration
	for i, c := range made {
		if c.At < d.at {
			before = &made[i]
		}
	}
	if before != nil && before.Error != now.Error {
		d.warn("%s was taken to show %s above the true temperature and shows %s: say with --as-found what it showed"+
			" before this check; without it the readings before keep their old correction",
			e.Sensor, before.Error, now.Error)
	}
	return nil
}

// dueOn returns when a day on the site's clock begins.
func (v *view) dueOn(day measure.Date) (measure.Instant, error) {
	return day.AddDays(-1).End(v.zone), nil
}
