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
	benchStays   = 20
	benchMinutes = 365 * 24 * 60
)

// size is how much a benchmark judges.
type size struct{ ovens, bundles int }

var (
	small = size{10, 10_000}
	large = size{50, 100_000} // 26,280,000 readings
)

// year is a year of minute readings of ovens about 130 °C, each with some dips.
func (z size) year() map[string][]evidence.Reading {
	rng := rand.New(rand.NewPCG(1, 2))
	start := clock("2025-01-01 00:00")
	all := map[string][]evidence.Reading{}
	for o := range z.ovens {
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
func (z size) lifetimes() []*inventory.History {
	rng := rand.New(rand.NewPCG(3, 4))
	minutes := func(least, more int) measure.Duration {
		return measure.Duration(least+rng.IntN(more)) * measure.Minute
	}
	start := clock("2025-01-02 00:00")
	all := make([]*inventory.History, z.bundles)
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
			oven := inventory.Place{Name: fmt.Sprintf("H%d", rng.IntN(z.ovens)), Kind: inventory.HoldingOven}
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

// BenchmarkJudgeAYear judges bundles of 20 stays against a year of minute readings
// of their ovens: what the readings show for the band, once an oven, and then
// every bundle.
func BenchmarkJudgeAYear(b *testing.B) {
	for name, z := range map[string]size{"10-ovens-10k-bundles": small, "50-ovens-100k-bundles": large} {
		b.Run(name, func(b *testing.B) { z.judge(b) })
	}
}

func (z size) judge(b *testing.B) {
	readings, bundles := z.year(), z.lifetimes()
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
	b.ReportMetric(float64(b.N*z.bundles)/judge.Seconds(), "bundles/s")
	b.ReportMetric(float64(build.Milliseconds())/float64(b.N), "ms-tracks/op")
	b.ReportMetric(float64(judge.Milliseconds())/float64(b.N), "ms-judging/op")
}

// BenchmarkJudgeOne judges one of them against places that were asked before.
func BenchmarkJudgeOne(b *testing.B) {
	places, bundles := tracks(small.year()), small.lifetimes()
	r := ruling(b, "reference-running", "E7018")
	f := exposure.Facts{Places: places, Ruling: r}
	at := clock("2025-12-31 12:00")
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		f.History = bundles[i%len(bundles)]
		exposure.Judge(f, at)
	}
}

// BenchmarkJudgeOneByScanning judges the same ones with evidence that remembers
// nothing, so that every bundle goes through its ovens' readings.
func BenchmarkJudgeOneByScanning(b *testing.B) {
	readings, bundles := small.year(), small.lifetimes()
	r := ruling(b, "reference-running", "E7018")
	at := clock("2025-12-31 12:00")
	for i := 0; b.Loop(); i++ {
		f := exposure.Facts{History: bundles[i%len(bundles)], Places: tracks(readings), Ruling: r}
		exposure.Judge(f, at)
	}
}
