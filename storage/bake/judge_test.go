package bake_test

import (
	"testing"

	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// sequence is a run with what it must come out as.
type sequence struct {
	name     string
	run      bake.Run
	want     bake.Result
	why      string
	wantSoak string
}

func check(t *testing.T, tests []sequence) {
	t.Helper()
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got := bake.Judge(tt.run)
			if got.Result != tt.want || got.Why != tt.why {
				t.Errorf("Judge() = %v, %q, want %v, %q", got.Result, got.Why, tt.want, tt.why)
			}
			if tt.wantSoak != "" && got.Soak != span(t, tt.wantSoak) {
				t.Errorf("soak = %v, want %v", got.Soak, tt.wantSoak)
			}
		})
	}
}

// The boundaries are those of D1.1/D1.1M:2015 5.3.2.4: range and soak by
// specification, and the first step of half an hour at no more than half the
// chosen temperature, each decided in one unit system.
func TestBoundariesOfTheCode(t *testing.T) {
	t.Parallel()
	check(t, []sequence{
		{"boundary 16: 428 C in SI", // printed limit 430 C
			run(t, a51SI(t), "428 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 428 C"),
			bake.Valid, "", "2:00"},
		{"boundary 16: 428 C in US", // printed limit 800 F, which is 426.7 C
			run(t, a51US(t), "800 F", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 428 C"),
			bake.Doubtful, "802.4 °F, over 800 °F", "2:00"},
		{"boundary 17: A5.5 set to 369 C",
			run(t, a55SI(t), "369 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 369 C"),
			bake.Short, "set point 369 °C, below 370 °C; 370 °C not reached: 369 °C at most", "0:00"},
		{"boundary 17: A5.5 read at 369 C",
			run(t, a55SI(t), "370 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 369 C"),
			bake.Short, "370 °C not reached: 369 °C at most", "0:00"},
		{"boundary 17: A5.5 at 370.5 C in US", // 700 F is 371.1 C
			run(t, a55US(t), "700 F", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 370.5 C"),
			bake.Short, "700 °F not reached: 698.9 °F at most", "0:00"},
		{"boundary 17: A5.5 at 370.5 C in SI",
			run(t, a55SI(t), "370 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 370.5 C"),
			bake.Valid, "", "2:00"},
		{"boundary 18: half step at 260 F for 500 F",
			run(t, a51US(t), "500 F", "06:00", "08:50", "06:00-06:40 260 F, 06:50-08:50 500 F"),
			bake.Doubtful, "pre-soak missing: 260 °F at the first reading, over 250 °F", "2:00"},
		{"boundary 18: half step at 250 F for 500 F",
			run(t, a51US(t), "500 F", "06:00", "08:50", "06:00-06:40 250 F, 06:50-08:50 500 F"),
			bake.Valid, "", "2:00"},
		{"boundary 18: half is of the chosen temperature, not of the minimum",
			run(t, a51US(t), "700 F", "06:00", "08:50", "06:00-06:40 350 F, 06:50-08:50 700 F"),
			bake.Valid, "", "2:00"},
		{"boundary 18: 260 F for 260 C in SI", // half of 260 C is 130 C, 260 F is 126.7 C
			run(t, a51SI(t), "260 C", "06:00", "08:50", "06:00-06:40 260 F, 06:50-08:50 260 C"),
			bake.Valid, "", "2:00"},
		{"boundary 19: half step 29 min",
			run(t, a51SI(t), "350 C", "06:00", "08:50", "06:00-06:29 150 C, 06:50-08:50 350 C"),
			bake.Doubtful, "pre-soak short by 1 min", "2:00"},
		{"boundary 19: half step 30 min",
			run(t, a51SI(t), "350 C", "06:00", "08:50", "06:00-06:30 175 C, 06:50-08:50 350 C"),
			bake.Valid, "", "2:00"},
		{"boundary 20: A5.1 for 1 h 59 min",
			run(t, a51SI(t), "350 C", "06:00", "08:49", "06:00-06:40 150 C, 06:50-08:49 350 C"),
			bake.Short, "soak short by 1 min", "1:59"},
		{"boundary 20: A5.1 for 1 h 59 min 59 s",
			run(t, a51SI(t), "350 C", "06:00", "08:49:59", "06:00-06:40 150 C, 06:50-08:49:59 350 C"),
			bake.Short, "soak short by 1 s", "1:59:59"},
		{"boundary 20: A5.5 for 1 h",
			run(t, a55SI(t), "370 C", "06:00", "07:50", "06:00-06:40 150 C, 06:50-07:50 370 C"),
			bake.Valid, "", "1:00"},
		{"boundary 38: maker at most 2 h 30 min, baked 2 h 40 min",
			run(t, withMax(a51SI(t), 150*measure.Minute), "350 C", "06:00", "09:30", "06:00-06:40 150 C, 06:50-09:30 350 C"),
			bake.Doubtful, "soak 2 h 40 min, over 2 h 30 min", "2:40"},
		{"boundary 38: maker at most 2 h 30 min, baked 2 h 30 min",
			run(t, withMax(a51SI(t), 150*measure.Minute), "350 C", "06:00", "09:20", "06:00-06:40 150 C, 06:50-09:20 350 C"),
			bake.Valid, "", "2:30"},
	})
}

func withMax(r *rules.BakeRow, d measure.Duration) *rules.BakeRow {
	r.SoakMax = d
	return r
}

// The reference recipe is 350 C: at least 0:30 at 175 C or less, then at least
// 2:00 with every reading 260 to 430 C from the first reading at set point.
func TestReferenceTimelines(t *testing.T) {
	t.Parallel()
	const rise = "06:00-06:40 150 C, 07:10 300 C, "
	check(t, []sequence{
		{"S18: ten minutes short",
			run(t, a51SI(t), "350 C", "06:00", "09:20", rise+"07:30-09:20 350 C"),
			bake.Short, "soak short by 10 min", "1:50"},
		{"S18: off at 09:30",
			run(t, a51SI(t), "350 C", "06:00", "09:30", rise+"07:30-09:30 350 C"),
			bake.Valid, "", "2:00"},
		{"S19: loaded into a hot oven",
			run(t, a51SI(t), "350 C", "08:00", "11:00", "08:00 200 C, 08:40-11:00 350 C"),
			bake.Doubtful, "pre-soak missing: 200 °C at the first reading, over 175 °C", "2:20"},
		{"S21: peak of 466 C",
			run(t, a51SI(t), "350 C", "06:00", "09:30", rise+"07:30-08:20 350 C, 08:25 466 C, 08:30-09:30 350 C"),
			bake.Doubtful, "466 °C, over 430 °C", "2:00"},
		{"S24: from a carton, ends at 11:00",
			run(t, a51SI(t), "350 C", "07:30", "11:00", "07:30-08:10 160 C, 08:40 330 C, 09:00-11:00 352 C"),
			bake.Valid, "", "2:00"},
	})
}

// The rules between the boundaries are this package's reading of "every
// reading" and of evidence: the lower of two neighbours applies to a minimum,
// the higher to a maximum, and a gap proves nothing.
func TestStages(t *testing.T) {
	t.Parallel()
	const low = "06:00-06:40 150 C, "
	check(t, []sequence{
		{"the rise does not count",
			run(t, a51SI(t), "350 C", "06:00", "08:50", low+"07:00-07:10 349.99 C, 07:20-08:50 350 C"),
			bake.Short, "soak short by 30 min", "1:30"},
		{"once at set point the whole range counts",
			run(t, a51SI(t), "350 C", "06:00", "08:50", low+"06:50 350 C, 07:00-08:50 260 C"),
			bake.Valid, "", "2:00"},
		{"a dip restarts the soak",
			run(t, a51SI(t), "350 C", "06:00", "09:50", low+"06:50-08:40 350 C, 08:45 259.99 C, 08:50-09:50 350 C"),
			bake.Short, "soak short by 10 min", "1:50"},
		{"after a dip the set point is reached again",
			run(t, a51SI(t), "350 C", "06:00", "11:00", low+"06:50 350 C, 07:00 250 C, 07:10-11:00 349 C"),
			bake.Short, "soak short by 2 h", "0:00"},
		{"a complete soak stays complete when the oven cools",
			run(t, a51SI(t), "350 C", "06:00", "10:00", low+"06:50-08:50 350 C, 09:00 200 C, 09:50 80 C"),
			bake.Valid, "", "2:00"},
		{"the last reading speaks until the end",
			run(t, a51SI(t), "350 C", "06:00", "08:50", low+"06:50-07:50 350 C"),
			bake.Valid, "", "2:00"},
		{"but not for longer than a gap",
			run(t, a51SI(t), "350 C", "06:00", "08:51", low+"06:50-07:50 350 C"),
			bake.Doubtful, "soak not proven: no reading for 1 h 1 min", "1:00"},
		{"a gap in the soak",
			run(t, a51SI(t), "350 C", "06:00", "09:00", low+"06:50-07:00 350 C, 08:30-09:00 350 C"),
			bake.Doubtful, "soak not proven: no reading for 1 h 30 min", "0:30"},
		{"a gap in a soak that is short all the same",
			run(t, a51SI(t), "350 C", "06:00", "08:40", low+"06:50 350 C, 08:30-08:40 350 C"),
			bake.Short, "soak short by 10 min", "0:10"},
		{"a gap outside the soak",
			run(t, a51SI(t), "350 C", "06:00", "10:50", low+"08:50-10:50 350 C"),
			bake.Valid, "", "2:00"},
		{"a gap that may hide too long a soak",
			run(t, withMax(a51SI(t), 150*measure.Minute), "350 C", "06:00", "10:50", low+"08:50-10:50 350 C"),
			bake.Doubtful, "soak perhaps 4 h 10 min, over 2 h 30 min: no reading for 2 h 10 min", "2:00"},
		{"two soaks together too long",
			run(t, withMax(a51SI(t), 150*measure.Minute), "350 C", "06:00", "09:40",
				low+"06:50-07:30 350 C, 07:35 200 C, 07:40-09:40 350 C"),
			bake.Doubtful, "soak 2 h 40 min, over 2 h 30 min", "2:00"},
		{"a gap in the pre-soak",
			run(t, a51SI(t), "350 C", "06:00", "09:30", "06:00 150 C, 07:10 150 C, 07:30-09:30 350 C"),
			bake.Doubtful, "pre-soak not proven: no reading for 1 h 10 min", "2:00"},
		{"a pre-soak after the load was hot",
			run(t, a51SI(t), "350 C", "06:00", "09:30", "06:00-06:20 150 C, 06:25 176 C, 06:30-07:20 150 C, 07:30-09:30 350 C"),
			bake.Doubtful, "pre-soak short by 10 min", "2:00"},
		{"taken out before it went higher",
			run(t, a51SI(t), "350 C", "06:00", "06:10", "06:00-06:10 150 C"),
			bake.Short, "350 °C not reached: 150 °C at most", "0:00"},
		{"a row without a pre-soak",
			run(t, withoutPresoak(a51SI(t)), "350 C", "06:00", "08:00", "06:00-08:00 350 C"),
			bake.Valid, "", "2:00"},
		{"set over the range",
			run(t, a51SI(t), "450 C", "06:00", "09:00", low+"06:50-09:00 430 C"),
			bake.Doubtful, "set point 450 °C, over 430 °C; 450 °C not reached: 430 °C at most", "0:00"},
		{"set below the range and yet in it",
			run(t, a51SI(t), "250 C", "06:00", "09:00", "06:00-06:40 120 C, 07:00-09:00 262 C"),
			bake.Doubtful, "set point 250 °C, below 260 °C", "2:00"},
		{"all that failed is named",
			run(t, a51SI(t), "350 C", "06:00", "08:00", "06:00-06:10 150 C, 06:30-07:20 350 C, 07:30-08:00 440 C"),
			bake.Doubtful, "440 °C, over 430 °C; pre-soak short by 20 min; soak short by 30 min", "1:30"},
		{"no recipe",
			run(t, nil, "350 C", "06:00", "09:00", low+"06:50-09:00 350 C"),
			bake.Doubtful, "the rule set has no bake for this stock", "0:00"},
		{"no readings",
			run(t, a51SI(t), "350 C", "06:00", "09:00", ""),
			bake.Doubtful, "no readings in the bake oven", "0:00"},
		{"readings of other runs do not count",
			run(t, a51SI(t), "350 C", "06:00", "09:00", "04:00-05:50 350 C, 09:10-11:30 350 C"),
			bake.Doubtful, "no readings in the bake oven", "0:00"},
	})
}

func withoutPresoak(r *rules.BakeRow) *rules.BakeRow {
	r.Presoak, r.PresoakPercent = 0, 0
	return r
}

// Half an hour between two readings is long enough for a pre-soak and too long
// for a gap of 20 minutes.
func TestPresoakOfOneGapIsNotProven(t *testing.T) {
	t.Parallel()
	r := run(t, a51SI(t), "350 C", "06:00", "08:50", "06:00 150 C, 06:30 150 C, 06:50-08:50 350 C")
	r.MaxGap = 20 * measure.Minute
	check(t, []sequence{{"30 min", r, bake.Doubtful, "pre-soak not proven: no reading for 30 min", "2:00"}})
}

// Boniszewski and Paveley, Metal Construction 10(11), November 1978: rods of a
// 20 kg load follow the oven's air about 50 min later.
func TestLoadLagIsAddedToTheSoak(t *testing.T) {
	t.Parallel()
	lagging := func(to string) bake.Run {
		r := run(t, a51SI(t), "350 C", "06:00", to, "06:00-06:40 150 C, 06:50-09:40 350 C")
		r.Lag = lag(50 * measure.Minute)
		return r
	}
	check(t, []sequence{
		{"2 h 49 min of hot air", lagging("09:39"), bake.Short, "soak short by 1 min", "1:59"},
		{"2 h 50 min of hot air", lagging("09:40"), bake.Valid, "", "2:00"},
	})
}

func TestRunningBakeSaysItsStage(t *testing.T) {
	t.Parallel()
	const low = "06:00-06:40 150 C, "
	running := func(text string, behind measure.Duration) bake.Run {
		r := run(t, a51SI(t), "350 C", "06:00", "", text)
		r.Lag = lag(behind)
		return r
	}
	check(t, []sequence{
		{"pre-soak", running("06:00-06:20 150 C", 0), bake.Running, "pre-soak 20 min of 30 min", "0:00"},
		{"heating", running(low+"06:50 280 C", 0), bake.Running, "heating, 280 °C of 350 °C", "0:00"},
		{"load lag", running(low+"07:00-07:10 350 C", 30*measure.Minute), bake.Running,
			"at set point, load lag 10 min of 30 min", "0:00"},
		{"soak", running(low+"07:00-08:10 350 C", 0), bake.Running, "soak 1 h 10 min of 2 h", "1:10"},
		{"soak after a dip", running(low+"07:00-08:10 350 C, 08:15 200 C, 08:20-08:50 350 C", 0), bake.Running,
			"soak 30 min of 2 h", "1:10"},
		{"complete", running(low+"07:00-09:10 350 C", 0), bake.Running, "soak complete, 2 h 10 min of 2 h", "2:10"},
		{"failed already", running("06:00 200 C, 06:50-07:20 350 C, 07:30 440 C", 0), bake.Running,
			"440 °C, over 430 °C; pre-soak missing: 200 °C at the first reading, over 175 °C; soak 40 min of 2 h", "0:40"},
		{"no readings", running("", 0), bake.Running, "no readings in the bake oven", "0:00"},
	})
}

func TestSoakShowsItsExtremes(t *testing.T) {
	t.Parallel()
	got := bake.Judge(run(t, a51SI(t), "350 C", "06:00", "09:00",
		"06:00-06:40 150 C, 07:00 350 C, 07:30 348 C, 08:00 361 C, 08:30-09:00 352 C"))
	if got.Result != bake.Valid || got.Soak != 2*measure.Hour || got.Low != measure.Celsius(348) || got.High != measure.Celsius(361) {
		t.Errorf("%v, soak %v of %v to %v, want valid, 2 h of 348 °C to 361 °C", got.Result, got.Soak, got.Low, got.High)
	}
}

// Two sensors that differ at one instant: the lower one holds the soak back.
func TestColderSensorDecidesTheSoak(t *testing.T) {
	t.Parallel()
	r := run(t, a51SI(t), "350 C", "06:00", "08:50", "06:00-06:40 150 C, 06:50-08:50 350 C")
	r.Sensors = append(r.Sensors, evidence.Shown{Sensor: "D2", Readings: readings(t, "06:50-07:00 349 C")})
	check(t, []sequence{{"colder for the first ten minutes", r, bake.Short, "soak short by 20 min", "1:40"}})
}
