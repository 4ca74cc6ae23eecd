package alarm_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// shippedPlace is H1 with rods in it and the delays of the shipped catalogue.
func shippedPlace(list []evidence.Reading) *alarm.Place {
	p := place(h1, nil, content("K1", "00:00", ""))
	p.Cold = alarm.Shipped().Of(alarm.OvenCold).Delays()
	p.Oven = alarm.NewOven(alarm.Probe{Readings: list})
	return p
}

// minutely returns a day of readings, one a minute, of a temperature in °C by the
// minute of the day.
func minutely(of func(minute int) float64) []evidence.Reading {
	list := make([]evidence.Reading, 24*60)
	for i := range list {
		list[i] = evidence.Reading{At: clock("00:00").Add(measure.Duration(i) * measure.Minute),
			Temp: measure.Temperature(math.Round(of(i) * float64(measure.Degree)))}
	}
	return list
}

// colds returns the alarms of a day that an oven was too cold.
func colds(p *alarm.Place) (list []alarm.Condition) {
	for _, c := range p.Conditions(0, clock("23:59")) {
		if c.Kind == alarm.OvenCold {
			list = append(list, c)
		}
	}
	return list
}

// TestNoiseInsideTheDeadbandRaisesNothing: 24 h at one reading a minute with a
// noise of 0.5 °C (one sigma) around a temperature in the deadband above 120 °C, for
// a hundred seeds: none raises anything, although single readings are below 120 °C.
func TestNoiseInsideTheDeadbandRaisesNothing(t *testing.T) {
	t.Parallel()
	below := 0
	for seed := range uint64(100) {
		random := rand.New(rand.NewPCG(seed, 1))
		list := minutely(func(int) float64 { return 120.5 + 0.5*random.NormFloat64() })
		for _, r := range list {
			if r.Temp < measure.Celsius(120) {
				below++
			}
		}
		if got := colds(shippedPlace(list)); len(got) != 0 {
			t.Errorf("seed %d: %v, want nothing", seed, lines(got))
		}
	}
	// A normal deviate is below minus one sigma in 15.9 % of cases.
	if want := 0.159 * 100 * 24 * 60; math.Abs(float64(below)-want) > want/20 {
		t.Errorf("%d readings were below the limit, want about %.0f", below, want)
	}
}

// TestNoiseOnTheLimitIsOneAlarmAtMost: around 120 °C itself the true temperature
// is as often below as above, so that one excursion is true; it is told once in a
// day and does not come and go.
func TestNoiseOnTheLimitIsOneAlarmAtMost(t *testing.T) {
	t.Parallel()
	for seed := range uint64(100) {
		random := rand.New(rand.NewPCG(seed, 2))
		if got := colds(shippedPlace(minutely(func(int) float64 { return 120 + 0.5*random.NormFloat64() }))); len(got) > 1 {
			t.Errorf("seed %d: %v, want one at most", seed, lines(got))
		}
	}
}

// TestASwingIsOneAlarmForEachTrueExcursion: a sine of 1.5 °C around 120 °C with a
// period of an hour never leaves the deadband once it has been below for ten
// minutes; one of 5 °C leaves it each hour.
func TestASwingIsOneAlarmForEachTrueExcursion(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		amplitude float64
		period    int // minutes
		want      int
	}{
		{1.5, 60, 1},
		{1.5, 10, 0}, // below for 5 minutes only
		{5, 60, 24},  // below for half an hour, above 122 °C for more than 5 minutes
		{5, 12, 0},
	} {
		got := colds(shippedPlace(minutely(func(i int) float64 {
			return 120 + tt.amplitude*math.Sin(2*math.Pi*float64(i)/float64(tt.period))
		})))
		if len(got) != tt.want {
			t.Errorf("%g °C each %d min: %d alarms, want %d: %v", tt.amplitude, tt.period, len(got), tt.want, lines(got))
		}
	}
}

// TestATrueExcursionIsRaisedAtItsDelay: 1,000 steps to 5 °C below the limit that
// last the delay of 10 minutes and one more, with noise of 0.5 °C, each at a time of
// its own: all are raised, at the delay within one reading.
func TestATrueExcursionIsRaisedAtItsDelay(t *testing.T) {
	t.Parallel()
	const steps = 1000
	random := rand.New(rand.NewPCG(5, 5))
	for range steps {
		from := 10 + random.IntN(1400)
		got := colds(shippedPlace(minutely(func(i int) float64 {
			noise := 0.5 * random.NormFloat64()
			if i >= from && i <= from+11 {
				return 115 + noise
			}
			return 130 + noise
		})))
		want := clock("00:00").Add(measure.Duration(from+10) * measure.Minute)
		if len(got) != 1 {
			t.Fatalf("a step at minute %d: %v, want one alarm", from, lines(got))
		}
		if off := got[0].Since.Sub(want); off < -measure.Minute || off > measure.Minute {
			t.Errorf("a step at minute %d: raised %s from its delay, want within a reading", from, off.Words())
		}
	}
}

// TestDelaysAndDeadbands: with 10 minutes on, 2 °C and 5 minutes off.
func TestDelaysAndDeadbands(t *testing.T) {
	t.Parallel()
	k1 := content("K1", "06:00", "")
	hotter := alarm.Content{Bundle: "K2", From: clock("08:00"), To: clock("09:00"), Band: evidence.Band{Min: measure.Celsius(126)}}
	narrow := alarm.Content{Bundle: "K3", From: clock("06:00"), Band: evidence.Band{Min: measure.Celsius(120), Max: measure.Celsius(122), HasMax: true}}
	for _, tt := range []struct {
		name     string
		readings readings
		contents []alarm.Content
		at       string
		want     []string
	}{
		{"a sparse reading proves more than the delay at once", readings{}.read(h1, "06:00", "08:00", "30m", "130 C").once(h1, "08:30", "119 C"),
			[]alarm.Content{k1}, "08:30", []string{"oven-cold H1 08:30-"}},
		{"the first reading of all proves no time before it", readings{}.once(h1, "08:30", "119 C"), []alarm.Content{k1}, "08:39:59", nil},
		{"after ten minutes it stands", readings{}.once(h1, "08:30", "119 C"), []alarm.Content{k1}, "08:40", []string{"oven-cold H1 08:40-"}},
		{"a reading in range takes back what was on its way", readings{}.once(h1, "08:30", "119 C").once(h1, "08:40", "120 C"), []alarm.Content{k1}, "09:00", nil},
		{"also within the deadband", readings{}.once(h1, "08:00", "119 C").once(h1, "08:09", "121 C").once(h1, "08:12", "119 C"),
			[]alarm.Content{k1}, "08:18", nil},
		{"within the deadband it stands on", readings{}.once(h1, "08:00", "110 C").read(h1, "08:30", "10:00", "30m", "121 C"),
			[]alarm.Content{k1}, "10:20", []string{"oven-cold H1 08:10-"}},
		{"over five minutes after it is back by two degrees", readings{}.once(h1, "08:00", "110 C").once(h1, "08:30", "122 C"),
			[]alarm.Content{k1}, "09:00", []string{"oven-cold H1 08:10-08:35"}},
		{"not if it falls again within them", readings{}.once(h1, "08:00", "110 C").once(h1, "08:30", "122 C").once(h1, "08:34", "121.9 C").once(h1, "09:00", "122 C"),
			[]alarm.Content{k1}, "09:10", []string{"oven-cold H1 08:10-09:05"}},
		{"what goes in asks from then on", readings{}.read(h1, "06:00", "09:30", "30m", "125 C"), []alarm.Content{k1, hotter}, "09:30",
			[]string{"oven-cold H1 08:10-09:00"}},
		{"a narrow range can be reached", readings{}.once(h1, "08:00", "110 C").once(h1, "08:30", "121 C"), []alarm.Content{narrow}, "09:00",
			[]string{"oven-cold H1 08:10-08:35"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			p := place(h1, tt.readings, tt.contents...)
			p.Cold = alarm.Shipped().Of(alarm.OvenCold).Delays()
			var got []alarm.Condition
			for _, c := range p.Conditions(0, clock(tt.at)) {
				if c.Kind == alarm.OvenCold {
					got = append(got, c)
				}
			}
			if diff := cmp.Diff(tt.want, lines(got)); diff != "" {
				t.Errorf("by %s (-want +got):\n%s", tt.at, diff)
			}
		})
	}
}
