package timeline

import (
	"cmp"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// calibrationLine is what the verb calibrate reads. A place with one sensor may
// be named instead of it.
type calibrationLine struct {
	Sensor string `json:"sensor"`
	Place  string `json:"place"`
	Error  string `json:"error"`   // what it shows above the true temperature; none found where left out
	Left   string `json:"as_left"` // the same
	Found  string `json:"as_found"`
	Due    string `json:"due"`
}

func (r *replay) calibrate(l Line, who string, at, noted measure.Instant) error {
	var in calibrationLine
	if err := l.into(&in); err != nil {
		return err
	}
	s, err := r.app.Sensor(r.ctx, who, cmp.Or(in.Sensor, in.Place), at)
	if err != nil {
		return err
	}
	e := &inventory.Calibrated{Sensor: s.Name, Error: cmp.Or(in.Error, in.Left, in.Found, "0 C"), AsFound: in.Found, Due: in.Due}
	return r.record(l, who, at, noted, e)
}
