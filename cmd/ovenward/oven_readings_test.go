package main

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/feed"
)

// What oven readings writes is what oven load reads, to the microsecond and the
// last 1/900 of a degree, whatever the zone.
func TestReadingsComeBackAsTheyWentOut(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		zones := []string{"America/Halifax", "Asia/Kolkata", "Europe/Oslo", "UTC"}
		zone, err := time.LoadLocation(rapid.SampledFrom(zones).Draw(t, "zone"))
		if err != nil {
			t.Fatal(err)
		}
		want := evidence.Reading{
			At:   measure.Instant(rapid.Int64Range(0, 4_000_000_000_000_000).Draw(t, "at")), // to 2096
			Temp: measure.Temperature(rapid.Int64Range(int64(measure.AbsoluteZero), int64(measure.Celsius(2000))).Draw(t, "temp")),
		}
		var out strings.Builder
		e := &env{out: &out}
		if err := e.writeReadings([]app.SensorReadings{{Sensor: "T-1", List: []evidence.Reading{want}}}, zone); err != nil {
			t.Fatal(err)
		}
		var got feed.Row
		columns := feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor"}
		_, err = feed.Read(strings.NewReader(out.String()), columns, time.UTC, func(r feed.Row) error { got = r; return nil })
		if err != nil || got.At != want.At || got.Temp != want.Temp || got.Sensor != "T-1" {
			t.Errorf("%q is read as %v, %d, %v, want %v, %d", out.String(), got.At, got.Temp, err, want.At, want.Temp)
		}
	})
}

func TestTemperaturesAreWrittenAsTheyWereEntered(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"120 C", "121.11 C", "-40 C", "0 C", "250 F", "250.5 F", "100.25 C"} {
		temp, err := measure.ParseTemperature(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := exactly(temp); got != text {
			t.Errorf("%s is written %s", text, got)
		}
	}
}
