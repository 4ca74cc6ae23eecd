package exposure_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/exposure"
)

const (
	benchOvens   = 10
	benchBundles = 10_000
	benchStays   = 20
	benchMinutes = 365 * 24 * 60
)

// year is a year of minute readings of ovens about 130 °C, each with some dips.
func year() map[string][]evidence.Reading {
	rng := rand.New(rand.NewPCG(1, 2))
	start := clock("2025-01-01 00:00")
	all := map[string][]evidence.Reading{}
	for o := range benchOvens {
		readings := make([]evidence.Reading, benchMinutes)
		dip := 0
		for m := range readings {
			if dip--; dip < 0 && rng.IntN(5000) == 0 {
				dip = rng.IntN(40)
			}
			temp := measure.Celsius(128) + measure.Temperature(rng.Int64N(4*int64(measure.Degree)))
			if dip > 0 {
				temp -= 20 * measure.Degree
			}
			readings[m] = evidence.Reading{At: start.Add(measure.Duration(m) * measure.Minute), Temp: temp}
		}
		all[fmt.Sprintf("H%d", o)] = readings
	}
	return all
}

// lifetimes are bundles that are opened, go out and come back nine times in the
// year, each time for less than the limit.
func lifetimes() []*inventory.History {
	rng := rand.New(rand.NewPCG(3, 4))
	minutes := func(least, more int) measure.Duration {
		return measure.Duration(least+rng.IntN(more)) * measure.Minute
	}
	start := clock("2025-01-02 00:00")
	all := make([]*inventory.History, benchBundles)
	for i := range all {
		r := can()
		at := start.Add(minutes(0, 100*24*60))
		r.stay(inventory.Stay{Place: bench, From: at, Sealed: true})
		for s := 1; s < benchStays; s++ {
			if s%2 == 0 {
				at = at.Add(minutes(240, 20*24*60))
				r.stay(inventory.Stay{Place: loose, From: at, Slip: "S1"})
				continue
			}
			at = at.Add(minutes(10, 225))
			oven := inventory.Place{Name: fmt.Sprintf("H%d", rng.IntN(benchOvens)), Kind: inventory.HoldingOven}
			r.stay(inventory.Stay{Place: oven, From: at, Returned: s > 1})
		}
		all[i] = r.h
	}
	return all
}

func tracks(readings map[string][]evidence.Reading) map[string]*evidence.Place {
	places := map[string]*evidence.Place{}
	for name, r := range readings {
		places[name] = evidence.NewPlace(evidence.NewTrack(r, nil))
	}
	return places
}

// BenchmarkJudgeAYear judges 10,000 bundles of 20 stays against 5.26 million
// minute readings, the building of the tracks included.
func BenchmarkJudgeAYear(b *testing.B) {
	readings, bundles := year(), lifetimes()
	r := ruling(b, "reference-running", "E7018")
	at := clock("2025-12-31 12:00")
	var build, judge time.Duration
	counted := map[inventory.Verdict]int{}
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		places := tracks(readings)
		for _, p := range places {
			p.Between(r.Hold.Band(), r.Evidence.MaxGap, at-1, at)
		}
		build += time.Since(start)
		start = time.Now()
		clear(counted)
		for _, h := range bundles {
			counted[exposure.Judge(exposure.Facts{History: h, Places: places, Ruling: r}, at).Verdict]++
		}
		judge += time.Since(start)
	}
	if len(counted) < 2 {
		b.Fatalf("all bundles have one verdict: %v", counted)
	}
	b.ReportMetric(float64(b.N*benchBundles)/judge.Seconds(), "bundles/s")
	b.ReportMetric(float64(build.Milliseconds())/float64(b.N), "ms-tracks/op")
	b.ReportMetric(float64(judge.Milliseconds())/float64(b.N), "ms-judging/op")
}

// BenchmarkJudgeOne judges one of them against places that were asked before.
func BenchmarkJudgeOne(b *testing.B) {
	places, bundles := tracks(year()), lifetimes()
	r := ruling(b, "reference-running", "E7018")
	f := exposure.Facts{Places: places, Ruling: r}
	at := clock("2025-12-31 12:00")
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		f.History = bundles[i%len(bundles)]
		exposure.Judge(f, at)
	}
}
