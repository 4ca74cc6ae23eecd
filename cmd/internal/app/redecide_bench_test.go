package app_test

import (
	"fmt"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// decisions is how many stored decisions are made again.
const decisions = 10_000

// BenchmarkRedecide makes stored decisions again: issues and returns of can after
// can, each handed out fifty times, judged by the readings of two ovens.
func BenchmarkRedecide(b *testing.B) {
	dbtest.EachB(b, func(b *testing.B, open func() *db.DB) {
		s := newShop(b, open(), "yard")
		s.hot(opens, opens.Add(90*measure.Day))
		for n := range decisions / 2 {
			can := fmt.Sprintf("K%d", n/50)
			if n%50 == 0 {
				s.can(can, 50*30)
			}
			slip := fmt.Sprintf("S%d", n)
			s.do(issue(slip, can, 30))
			s.pass(10 * measure.Minute)
			s.do(&inventory.Returned{Slip: slip, Unused: 5, Stubs: 25, Into: "H1", As: "R" + slip})
		}
		for b.Loop() {
			r, err := s.Redecide(b.Context())
			if err != nil || r.Decisions != decisions || len(r.Different) > 0 {
				b.Fatalf("%d decisions, %d different, %v", r.Decisions, len(r.Different), err)
			}
		}
		b.ReportMetric(decisions*float64(b.N)/b.Elapsed().Seconds(), "decisions/s")
	})
}
