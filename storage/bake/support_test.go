package bake_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// clock turns a time of the test's day into an instant.
func clock(t testing.TB, hhmm string) measure.Instant {
	t.Helper()
	if hhmm == "" {
		return 0
	}
	d, err := measure.ParseDuration(hhmm)
	if err != nil {
		t.Fatal(err)
	}
	const day = 20_244 // 5 June 2025, in days since 1970
	return measure.Instant(day*measure.Day + d)
}

func degrees(t testing.TB, text string) measure.Temperature {
	t.Helper()
	v, err := measure.ParseTemperature(text)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func span(t testing.TB, text string) measure.Duration {
	t.Helper()
	d, err := measure.ParseDuration(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func temp(t testing.TB, text string) rules.Temp {
	t.Helper()
	return rules.Temp{Temperature: degrees(t, text), Text: text}
}

// readings reads "06:00 150 C, 06:40-08:40 350 C": one reading, or one every
// ten minutes and at both ends.
func readings(t testing.TB, text string) []evidence.Reading {
	t.Helper()
	var out []evidence.Reading
	for entry := range strings.SplitSeq(text, ", ") {
		when, value, found := strings.Cut(entry, " ")
		if !found {
			continue
		}
		first, last, _ := strings.Cut(when, "-")
		from, to := clock(t, first), clock(t, first)
		if last != "" {
			to = clock(t, last)
		}
		for at := from; at < to; at = at.Add(10 * measure.Minute) {
			out = append(out, evidence.Reading{At: at, Temp: degrees(t, value)})
		}
		out = append(out, evidence.Reading{At: to, Temp: degrees(t, value)})
	}
	return out
}

// row is a recipe with the code's pre-soak of half the chosen temperature for
// half an hour (D1.1/D1.1M:2015 5.3.2.4).
func row(t testing.TB, low, high, soak string) *rules.BakeRow {
	t.Helper()
	r := &rules.BakeRow{Min: temp(t, low), Max: temp(t, high), Soak: span(t, soak),
		PresoakPercent: 50, Presoak: span(t, "30m")}
	r.Row = low + " to " + high
	return r
}

// a51SI and the next three are the recipes of D1.1/D1.1M:2015 5.3.2.4 in the
// units that they are printed in.
func a51SI(t testing.TB) *rules.BakeRow { return row(t, "260 C", "430 C", "2h") }
func a51US(t testing.TB) *rules.BakeRow { return row(t, "500 F", "800 F", "2h") }
func a55SI(t testing.TB) *rules.BakeRow { return row(t, "370 C", "430 C", "1h") }
func a55US(t testing.TB) *rules.BakeRow { return row(t, "700 F", "800 F", "1h") }

// run is a run with readings at most 60 minutes apart, as the reference rules
// ask, and no load lag.
func run(t testing.TB, r *rules.BakeRow, set, from, to, text string) bake.Run {
	t.Helper()
	units := measure.SI
	if strings.HasSuffix(set, "F") {
		units = measure.US
	}
	return bake.Run{Order: inventory.BakeOrder{Set: degrees(t, set)}, From: clock(t, from), To: clock(t, to),
		Sensors: []evidence.Shown{{Sensor: "D1", Readings: readings(t, text)}}, MaxGap: measure.Hour, Row: r, Units: units}
}

// lag is a lag that the set knows.
func lag(d measure.Duration) rules.Lag {
	return rules.Lag{Length: d, Row: "bakes.load_lag", Known: true}
}
