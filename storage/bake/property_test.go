package bake_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

func drawMinutes(t *rapid.T, low, high int64, name string) measure.Duration {
	return measure.Duration(rapid.Int64Range(low, high).Draw(t, name)) * measure.Minute
}

func drawRow(t *rapid.T, name string) rules.BakeRow {
	min := rapid.Int64Range(200, 300).Draw(t, name+" min")
	max := rapid.Int64Range(330, 430).Draw(t, name+" max")
	r := rules.BakeRow{
		Min:  rules.Temp{Temperature: measure.Celsius(min), Text: "min"},
		Max:  rules.Temp{Temperature: measure.Celsius(max), Text: "max"},
		Soak: drawMinutes(t, 10, 60, name+" soak"),
	}
	if rapid.Bool().Draw(t, name+" has a longest soak") {
		r.SoakMax = r.Soak + drawMinutes(t, 20, 90, name+" soak max")
	}
	if rapid.Bool().Draw(t, name+" has a pre-soak") {
		r.PresoakPercent, r.Presoak = rapid.Int64Range(40, 60).Draw(t, name+" share"), drawMinutes(t, 5, 30, name+" pre-soak")
	}
	return r
}

// drawRun draws a run that is a good bake but for what is off by chance: each
// stage may be cut, a gap may be torn and readings may stray.
func drawRun(t *rapid.T, w rules.BakeRow) bake.Run {
	set := measure.Celsius(rapid.Int64Range(300, 330).Draw(t, "set"))
	r := bake.Run{Order: inventory.BakeOrder{Set: set}, From: measure.Instant(measure.Day), MaxGap: 20 * measure.Minute,
		Lag: lag(drawMinutes(t, 0, 10, "lag")), Row: &w, Units: measure.SI, Sensors: []evidence.Shown{{Sensor: "D1"}}}
	at := r.From
	stretch := func(name string, length measure.Duration, low, high measure.Temperature) {
		for end := at.Add(length); at <= end; at = at.Add(drawMinutes(t, 1, 10, name+" step")) {
			temp := low + measure.Temperature(rapid.Int64Range(0, int64(high-low)).Draw(t, name+" temperature"))
			r.Sensors[0].Readings = append(r.Sensors[0].Readings, evidence.Reading{At: at, Temp: temp})
		}
	}
	stretch("pre-soak", drawMinutes(t, 5, 60, "pre-soak"), measure.Celsius(80), set*2/5)
	at = at.Add(drawMinutes(t, 0, 40, "gap"))
	stretch("soak", drawMinutes(t, 5, 120, "soak"), set, set+measure.Celsius(5))
	r.To = at
	for range rapid.IntRange(0, 2).Draw(t, "strays") {
		i := rapid.IntRange(0, len(r.Sensors[0].Readings)-1).Draw(t, "stray")
		r.Sensors[0].Readings[i].Temp = measure.Celsius(rapid.Int64Range(20, 450).Draw(t, "stray temperature"))
	}
	return r
}

// drawValid draws a run that is a valid bake.
func drawValid(t *rapid.T) bake.Run {
	any := rapid.Custom(func(t *rapid.T) bake.Run { return drawRun(t, drawRow(t, "row")) })
	return any.Filter(func(r bake.Run) bool { return bake.Judge(r).Result == bake.Valid }).Draw(t, "valid run")
}

func TestLongerSoakNeverMakesAValidBakeShort(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := drawValid(t)
		r.Sensors[0].Readings = append(r.Sensors[0].Readings, evidence.Reading{At: r.To, Temp: r.Order.Set})
		for range rapid.IntRange(1, 20).Draw(t, "more readings") {
			r.To = r.To.Add(drawMinutes(t, 1, 20, "more"))
			r.Sensors[0].Readings = append(r.Sensors[0].Readings, evidence.Reading{At: r.To, Temp: r.Order.Set})
		}
		got := bake.Judge(r)
		if got.Result != bake.Valid && (got.Result != bake.Doubtful || r.Row.SoakMax == 0) {
			t.Fatalf("a longer soak made a valid bake %v: %s", got.Result, got.Why)
		}
	})
}

// A reading between two others that lies in the range of its stage adds
// evidence and takes none away.
func TestMoreReadingsInRangeNeverInvalidate(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := drawValid(t)
		before := bake.Judge(r)
		i := rapid.IntRange(1, len(r.Sensors[0].Readings)-1).Draw(t, "behind")
		p, q := r.Sensors[0].Readings[i-1], r.Sensors[0].Readings[i]
		at := measure.Instant(rapid.Int64Range(int64(p.At)+1, int64(q.At)-1).Draw(t, "at"))
		low, high := min(p.Temp, q.Temp), max(p.Temp, q.Temp)
		between := low + measure.Temperature(rapid.Int64Range(0, int64(high-low)).Draw(t, "temperature"))
		r.Sensors[0].Readings = slices.Insert(slices.Clone(r.Sensors[0].Readings), i, evidence.Reading{At: at, Temp: between})
		got := bake.Judge(r)
		if got.Result == bake.Short || (got.Result == bake.Doubtful && r.Row.SoakMax == 0) {
			t.Fatalf("valid before (%+v), %v with one reading more: %s", before, got.Result, got.Why)
		}
		if got.Soak < before.Soak {
			t.Fatalf("soak %v, %v with one reading more", before.Soak, got.Soak)
		}
	})
}

func TestOrderOfReadingsDoesNotMatter(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := drawRun(t, drawRow(t, "row"))
		want := bake.Judge(r)
		r.Sensors[0].Readings = rapid.Permutation(r.Sensors[0].Readings).Draw(t, "order")
		if diff := cmp.Diff(want, bake.Judge(r)); diff != "" {
			t.Fatalf("in another order (-want +got):\n%s", diff)
		}
	})
}

// A valid run is one by the plain words of the rule, tried pair by pair: two
// readings the soak apart, the first at set point, none below the minimum and
// no gap from one to the other, none over the maximum, and such a pair in the
// pre-soak before the first hotter reading.
func TestValidMeansWhatTheRuleSays(t *testing.T) {
	t.Parallel()
	valid, not := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		row := drawRow(t, "row")
		row.SoakMax = 0
		r := drawRun(t, row)
		got, want := bake.Judge(r).Result == bake.Valid, plainlyValid(r)
		if got != want {
			t.Fatalf("valid = %v, want %v (%+v)", got, want, bake.Judge(r))
		}
		if want {
			valid++
		} else {
			not++
		}
	})
	if valid == 0 || not == 0 {
		t.Errorf("%d runs valid and %d not: the property was not tried", valid, not)
	}
}

func plainlyValid(r bake.Run) bool {
	w, half := r.Row, r.Order.Set*measure.Temperature(r.Row.PresoakPercent)/100
	hot := slices.IndexFunc(r.Sensors[0].Readings, func(x evidence.Reading) bool { return x.Temp > half })
	over := slices.ContainsFunc(r.Sensors[0].Readings, func(x evidence.Reading) bool { return x.Temp > w.Max.Temperature })
	if over || r.Order.Set < w.Min.Temperature || r.Order.Set > w.Max.Temperature {
		return false
	}
	early := r.Sensors[0].Readings
	if hot >= 0 {
		early = r.Sensors[0].Readings[:hot]
	}
	if w.Presoak != 0 && !unbroken(early, r.MaxGap, w.Presoak, func(evidence.Reading, bool) bool { return true }) {
		return false
	}
	ended := append(slices.Clone(r.Sensors[0].Readings), evidence.Reading{At: r.To, Temp: r.Sensors[0].Readings[len(r.Sensors[0].Readings)-1].Temp})
	return unbroken(ended, r.MaxGap, w.Soak+r.Lag.Length, func(x evidence.Reading, first bool) bool {
		return x.Temp >= w.Min.Temperature && (!first || x.Temp >= r.Order.Set)
	})
}

// unbroken reports whether two readings are at least so far apart with good
// readings and no gap from one to the other.
func unbroken(rs []evidence.Reading, maxGap, length measure.Duration, good func(evidence.Reading, bool) bool) bool {
	for i := range rs {
		for j := i; j < len(rs); j++ {
			if !good(rs[j], j == i) || (j > i && rs[j].At.Sub(rs[j-1].At) > maxGap) {
				break
			}
			if rs[j].At.Sub(rs[i].At) >= length {
				return true
			}
		}
	}
	return false
}
