package evidence_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// One cold reading of three does not make an oven cold, and two do: the middle of
// 120, 60 and 125 is 120, that of 120, 60 and 61 is 61.
func TestUsualTemperatureIsTheMiddleOne(t *testing.T) {
	t.Parallel()
	at := func(i int) measure.Instant { return measure.Instant(measure.Duration(i) * measure.Hour) }
	for _, c := range []struct {
		celsius []int64
		want    int64
	}{{[]int64{120, 60, 125}, 120}, {[]int64{120, 60, 61}, 61}, {[]int64{90, 91}, 90}} {
		var list []evidence.Reading
		for i, v := range c.celsius {
			list = append(list, evidence.Reading{At: at(i), Temp: measure.Celsius(v)})
		}
		p := evidence.NewPlace(evidence.NewTrack(list, nil))
		if got, ok := p.Usual(0, at(9)); !ok || got != measure.Celsius(c.want) {
			t.Errorf("usual of %v = %v, %t, want %d °C", c.celsius, got, ok, c.want)
		}
		if got, ok := p.Usual(at(8), at(9)); ok {
			t.Errorf("usual of no reading = %v, want none", got)
		}
	}
}

// What a place usually shows is one of its readings, and never more than half of
// them are on either side.
func TestUsualTemperatureHasHalfOnEachSide(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		temps := rapid.SliceOfN(rapid.Int64Range(-100, 500), 1, 30).Draw(t, "temps")
		var list []evidence.Reading
		for i, v := range temps {
			list = append(list, evidence.Reading{At: measure.Instant(i), Temp: measure.Celsius(v)})
		}
		got, _ := evidence.NewPlace(evidence.NewTrack(list, nil)).Usual(0, measure.Instant(len(list)))
		under, over, found := 0, 0, false
		for _, r := range list {
			found = found || r.Temp == got
			if r.Temp < got {
				under++
			}
			if r.Temp > got {
				over++
			}
		}
		if !found || 2*under > len(list) || 2*over > len(list) {
			t.Errorf("usual of %v = %v: %d under, %d over", temps, got, under, over)
		}
	})
}
