package bake_test

import (
	"slices"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// lagSet is a recipe at 250 °C that counts from the load, with the load lags
// that TWI gives (FAQ on drying, citing Boniszewski and Paveley, Metal
// Construction 10(11), November 1978, pages 530 and 531): in an oven at 250 °C
// 20 kg of rods reach 230 °C about 50 min after the air is back at set point,
// 80 kg reach 200 °C in their centre about 6 h after loading, the air being back
// after 2 h 30 min.
const lagSet = `id = "lag"
title = "Lag of an invented yard"
edition = "1"
unit_system = "SI"
valid_from = "2025-01-01"

[[exposure]]
row = "e70"
family = ["low-hydrogen"]
limit = "4h"
source = "yard procedure 7"
status = "shop"

[[bake]]
row = "bake-250"
family = ["low-hydrogen"]
min = "200 C"
max = "260 C"
soak = "1h"
clock_from = "load"
source = "yard procedure 7"
status = "shop"

[[load_lag]]
row = "lag-20kg"
up_to_mass = "20 kg"
lag = "50m"
source = "TWI FAQ, Boniszewski and Paveley 1978"
status = "single-source"

[[load_lag]]
row = "lag-80kg"
up_to_mass = "80 kg"
lag = "3h30m"
source = "TWI FAQ, Boniszewski and Paveley 1978"
status = "single-source"
`

func recipe(t testing.TB, more string) rules.Recipe {
	t.Helper()
	s, err := rules.Parse("lag.toml", []byte(lagSet+more))
	if err != nil {
		t.Fatal(err)
	}
	mark, err := designation.Parse("E7018", "")
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.Resolve(rules.Subject{Mark: mark, Package: inventory.HermeticCan})
	if err != nil {
		t.Fatal(err)
	}
	return r.Recipe
}

// laden is a run with a load, whose mass may be unsaid.
func laden(t testing.TB, r rules.Recipe, load, to, text string) bake.Run {
	t.Helper()
	o := inventory.BakeOrder{Set: degrees(t, "250 C")}
	if load != "" {
		mass, err := measure.ParseMass(load)
		if err != nil {
			t.Fatal(err)
		}
		o.Load = mass
	}
	row, err := r.For(o)
	if err != nil {
		t.Fatal(err)
	}
	b := run(t, row, "250 C", "06:00", to, text)
	b.Order, b.Lag = o, r.Lag(o)
	return b
}

func TestPublishedLoadLags(t *testing.T) {
	t.Parallel()
	r := recipe(t, "")
	light, heavy := "06:00-06:30 200 C, 06:45-08:40 250 C", "06:00-08:20 200 C, 08:30-13:20 250 C"
	check(t, []sequence{
		{"20 kg: hot at 07:35, 1 h 35 min after loading", laden(t, r, "20 kg", "08:34", light),
			bake.Short, "soak short by 1 min", "0:59"},
		{"20 kg long enough", laden(t, r, "20 kg", "08:35", light), bake.Valid, "", "1:00"},
		{"80 kg: hot at 12:00, 6 h after loading", laden(t, r, "80 kg", "12:59", heavy),
			bake.Short, "soak short by 1 min", "0:59"},
		{"80 kg long enough", laden(t, r, "80 kg", "13:00", heavy), bake.Valid, "", "1:00"},
		{"21 kg is of the next class", laden(t, r, "21 kg", "08:40", light), bake.Short, "soak short by 1 h", "0:00"},
		{"nobody weighed it", laden(t, r, "", "13:00", heavy), bake.Valid, "", "1:00"},
		{"beyond what is known", laden(t, r, "81 kg", "13:00", heavy), bake.Doubtful,
			"soak not proven: no sensor is in the load, and no load lag is known for 81 kg", "1:00"},
		{"beyond what is known and short all the same", laden(t, r, "81 kg", "12:59", heavy), bake.Short,
			"soak short by 1 min", "0:59"},
	})
}

// A sensor among the rods tells when they are hot, whatever the tables say.
func TestSensorInTheLoadNeedsNoLag(t *testing.T) {
	t.Parallel()
	with := func(to, air, load string) bake.Run {
		r := laden(t, recipe(t, ""), "80 kg", to, air)
		r.Sensors = append(r.Sensors, evidence.Shown{Sensor: "T2", Position: evidence.InLoad, Readings: readings(t, load)})
		return r
	}
	const air = "06:00-06:30 200 C, 06:40-10:00 250 C"
	check(t, []sequence{
		{"an hour at set point", with("09:00", air, "06:00-07:50 180 C, 08:00-09:00 250 C"), bake.Valid, "", "1:00"},
		{"a minute less", with("08:59", air, "06:00-07:50 180 C, 08:00-09:00 250 C"), bake.Short, "soak short by 1 min", "0:59"},
		{"hot air over a load that never was", with("10:00", air, "06:00-10:00 249 C"), bake.Short,
			"250 °C not reached: 249 °C at most", "0:00"},
		{"air below the minimum ends it", with("09:00", "06:00-06:30 200 C, 06:40-08:20 250 C, 08:25 190 C, 08:30-09:00 250 C",
			"06:00-07:50 180 C, 08:00-09:00 250 C"), bake.Short, "soak short by 30 min", "0:30"},
		{"no reading in the load for more than an hour", with("10:00", air, "06:00-07:50 180 C, 08:00-08:10 250 C, 09:40-10:00 250 C"),
			bake.Doubtful, "soak not proven: no reading for 1 h 30 min", "0:20"},
	})
	got := bake.Judge(with("09:00", air, "06:00-07:50 180 C, 08:00-09:00 250 C")).Clock
	if got.From != rules.FromLoad || got.Lag.Length != 0 || !slices.Equal(got.Sensors, []string{"T2"}) {
		t.Errorf("counted by %+v, want from the load by T2 without lag", got)
	}
}

// D1.1/D1.1M:2015 5.3.2.4 counts from the oven reaching the temperature.
func TestCodeCountsFromTheOven(t *testing.T) {
	t.Parallel()
	r := a51SI(t)
	r.ClockFrom = rules.FromOven
	b := run(t, r, "350 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 350 C")
	b.Lag = lag(50 * measure.Minute)
	b.Sensors = append(b.Sensors, evidence.Shown{Sensor: "T2", Position: evidence.InLoad, Readings: readings(t, "06:00-06:40 100 C, 06:50-08:50 240 C")})
	check(t, []sequence{{"colder load", b, bake.Valid, "", "2:00"}})
	got := bake.Judge(b)
	if got.Clock.From != rules.FromOven || got.Clock.Lag.Length != 0 || !slices.Equal(got.Clock.Sensors, []string{"D1"}) {
		t.Errorf("counted by %+v, want from the oven by D1", got.Clock)
	}
	if got.Heated != 2*measure.Hour {
		t.Errorf("at set point for %v, want 2:00", got.Heated)
	}
}

func TestRecipeFromTheLoadNeedsToKnowWhenItIsHot(t *testing.T) {
	t.Parallel()
	r := a51SI(t)
	r.ClockFrom = rules.FromLoad
	check(t, []sequence{{"no sensor in it, no lag",
		run(t, r, "350 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 350 C"), bake.Doubtful,
		"soak not proven: it counts from the load, no sensor is in it and no load lag is known", "2:00"}})
}

// Maker's sheets: at most four layers.
func TestTooManyLayersAreForQA(t *testing.T) {
	t.Parallel()
	r := a51SI(t)
	r.MaxLayers = 4
	for layers, want := range map[int64]bake.Result{0: bake.Valid, 4: bake.Valid, 5: bake.Doubtful} {
		b := run(t, r, "350 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 350 C")
		b.Order.Layers = layers
		got := bake.Judge(b)
		if got.Result != want || (want == bake.Doubtful && got.Why != "5 layers, at most 4") {
			t.Errorf("%d layers: %v, %q, want %v", layers, got.Result, got.Why, want)
		}
	}
}

// From 150 °C to 330 °C in an hour and to 350 °C after it.
func TestRampIsMeasuredPerSensorOverItsTime(t *testing.T) {
	t.Parallel()
	const slow = "06:00-06:40 150 C, 06:50 180 C, 07:00 210 C, 07:10 240 C, 07:20 270 C, 07:30 300 C, 07:40 330 C, 07:50-09:50 350 C"
	ramped := func(limit measure.Temperature, over measure.Duration, more ...evidence.Shown) bake.Run {
		r := a51SI(t)
		r.RampMax, r.RampOver = rules.Rate{PerHour: limit * measure.Degree, Text: "so much"}, over
		b := run(t, r, "350 C", "06:00", "09:50", slow)
		b.Sensors = append(b.Sensors, more...)
		return b
	}
	jump := evidence.Shown{Sensor: "D2", Readings: readings(t, "06:01 170 C, 06:02 174 C, 07:52-09:50 352 C")}
	check(t, []sequence{
		{"at the limit", ramped(180, 10*measure.Minute), bake.Valid, "", "2:00"},
		{"over the limit", ramped(179, 10*measure.Minute), bake.Doubtful, "ramp 180 °C/h, over 179 °C/h", "2:00"},
		{"as a mean over an hour", ramped(180, measure.Hour), bake.Valid, "", "2:00"},
		{"another sensor 20 °C off is no rise", ramped(180, 10*measure.Minute, jump), bake.Valid, "", "2:00"},
	})
}
