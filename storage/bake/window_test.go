package bake_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// A run that is valid by the window of two rows is valid by each of them.
func TestValidByTheWindowIsValidByBoth(t *testing.T) {
	t.Parallel()
	valid, byLoad := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawRow(t, "a"), drawRow(t, "b")
		clocks := rapid.SampledFrom([]rules.ClockFrom{"", rules.FromOven, rules.FromLoad})
		a.ClockFrom, b.ClockFrom = clocks.Draw(t, "clock of a"), clocks.Draw(t, "clock of b")
		w, err := rules.Intersect(a, b)
		if err != nil {
			return
		}
		r := drawRun(t, w)
		drawLoadSensor(t, &r)
		if bake.Judge(r).Result != bake.Valid {
			return
		}
		valid++
		if got := bake.Judge(r); got.Clock.From == rules.FromLoad && got.Clock.Lag.Length == 0 {
			byLoad++
		}
		for _, one := range []rules.BakeRow{a, b} {
			r.Row = &one
			if got := bake.Judge(r); got.Result != bake.Valid {
				t.Fatalf("valid by %+v, by %+v %v: %s", w, one, got.Result, got.Why)
			}
		}
	})
	if valid == 0 || byLoad == 0 {
		t.Errorf("%d runs valid, %d of them by a sensor in the load: the property was not tried", valid, byLoad)
	}
}

// drawLoadSensor puts a sensor into the load of some runs. It is as hot as the
// air, or trails it and falls silent by chance.
func drawLoadSensor(t *rapid.T, r *bake.Run) {
	how := rapid.SampledFrom([]string{"none", "as hot", "astray"}).Draw(t, "sensor in the load")
	if how == "none" {
		return
	}
	s := evidence.Shown{Sensor: "T2", Position: evidence.InLoad}
	for _, x := range r.Sensors[0].Readings {
		if how == "astray" {
			if rapid.IntRange(0, 9).Draw(t, "silent") == 0 && len(s.Readings) > 0 {
				continue
			}
			x.At = x.At.Add(measure.Second)
			x.Temp += measure.Degree * measure.Temperature(rapid.Int64Range(-30, 5).Draw(t, "differs by"))
		}
		s.Readings = append(s.Readings, x)
	}
	r.Sensors = append(r.Sensors, s)
}
