package bake_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/bake"
)

// printed is a stage for comparing: "pre-soak 06:00-06:40 150 C-150 C asked 0:30 proven 0:40".
func printed(t testing.TB, s bake.Stage) string {
	t.Helper()
	day := clock(t, "0:00")
	text := string(s.Kind) + " " + s.From.Sub(day).String() + "-" + s.To.Sub(day).String()
	if s.Read {
		text += " " + s.Low.String() + " to " + s.High.String()
	}
	if s.Asked > 0 {
		text += ", " + s.Proven.String() + " of " + s.Asked.String()
	}
	if s.Failed != "" {
		text += ": " + s.Failed
	}
	return text
}

func TestStagesOfARunAreNamedWithTheirTimes(t *testing.T) {
	t.Parallel()
	lagged := run(t, a51SI(t), "350 C", "06:00", "10:00", "06:00-06:40 150 C, 07:10 300 C, 07:30-09:50 350 C, 10:00 200 C")
	lagged.Lag = lag(30 * measure.Minute)
	for _, c := range []struct {
		name string
		run  bake.Run
		want []string
	}{
		{"S18: short by ten minutes",
			run(t, a51SI(t), "350 C", "06:00", "09:20", "06:00-06:40 150 C, 07:10 300 C, 07:30-09:20 350 C"),
			[]string{"pre-soak 6:00-6:40 150 °C to 150 °C, 0:40 of 0:30", "ramp 6:40-7:30 150 °C to 350 °C",
				"soak 7:30-9:20 350 °C to 350 °C, 1:50 of 2:00: soak short by 10 min"}},
		{"S19: no pre-soak",
			run(t, a51SI(t), "350 C", "08:00", "11:00", "08:00 200 C, 08:40-11:00 350 C"),
			[]string{"pre-soak 8:00-8:00 200 °C to 200 °C, 0:00 of 0:30: pre-soak missing: 200 °C at the first reading, over 175 °C",
				"ramp 8:00-8:40 200 °C to 350 °C", "soak 8:40-11:00 350 °C to 350 °C, 2:20 of 2:00"}},
		{"S21: peak on the way",
			run(t, a51SI(t), "350 C", "06:00", "09:30", "06:00-06:40 150 C, 06:50 466 C, 07:00-09:30 350 C"),
			[]string{"pre-soak 6:00-6:40 150 °C to 150 °C, 0:40 of 0:30", "ramp 6:40-6:50 150 °C to 466 °C: 466 °C, over 430 °C",
				"soak 6:50-9:30 350 °C to 466 °C, 2:40 of 2:00"}},
		{"never hot", run(t, a51SI(t), "350 C", "06:00", "08:00", "06:00-06:40 150 C, 07:00-08:00 250 C"),
			[]string{"pre-soak 6:00-6:40 150 °C to 150 °C, 0:40 of 0:30",
				"ramp 6:40-8:00 150 °C to 250 °C: 350 °C not reached: 250 °C at most"}},
		{"with a lag, cooled in the oven", lagged,
			[]string{"pre-soak 6:00-6:40 150 °C to 150 °C, 0:40 of 0:30", "ramp 6:40-7:30 150 °C to 350 °C",
				"load lag 7:30-8:00 350 °C to 350 °C, 0:30 of 0:30",
				"soak 8:00-9:50 350 °C to 350 °C, 1:50 of 2:00: soak short by 10 min", "after 9:50-10:00 200 °C to 350 °C"}},
		{"under way", run(t, a51SI(t), "350 C", "06:00", "", "06:00-06:20 150 C"),
			[]string{"pre-soak 6:00-6:20 150 °C to 150 °C, 0:20 of 0:30"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var got []string
			for _, s := range bake.Judge(c.run).Stages {
				got = append(got, printed(t, s))
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("stages (-want +got):\n%s", diff)
			}
		})
	}
}

func TestStagesCoverTheRunWithoutOverlap(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := drawRun(t, drawRow(t, "row"))
		drawLoadSensor(t, &r)
		if rapid.Bool().Draw(t, "under way") {
			r.To = 0
		}
		got := bake.Judge(r)
		at, failed := r.From, false
		for i, s := range got.Stages {
			if s.From != at || s.To < s.From {
				t.Fatalf("stage %d (%s) is from %v to %v, the one before ends at %v", i, s.Kind, s.From, s.To, at)
			}
			at, failed = s.To, failed || s.Failed != ""
		}
		var last measure.Instant
		for _, s := range r.Sensors {
			last = max(last, s.Readings[len(s.Readings)-1].At)
		}
		if want := max(r.To, last); at != want {
			t.Fatalf("stages end at %v, the run at %v", at, want)
		}
		if got.Result == bake.Valid && failed {
			t.Fatalf("valid with a failed stage: %+v", got.Stages)
		}
	})
}
