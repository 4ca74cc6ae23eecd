package app_test

import (
	"fmt"
	"testing"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
)

// BenchmarkScreens shows what is in stock and what is out in a crib of 1,000
// bundles with 200 slips out and a month of minute readings of its three ovens.
func BenchmarkScreens(b *testing.B) {
	dbtest.EachB(b, func(b *testing.B, open func() *db.DB) {
		s := fullCrib(b, open())
		var stock, out []time.Duration
		for b.Loop() {
			stock = append(stock, timed(func() {
				if list, err := s.Stock(b.Context(), 0); err != nil || len(list) != bundles {
					b.Fatalf("%d bundles in stock, %v, want %d", len(list), err, bundles)
				}
			}))
			out = append(out, timed(func() {
				if list, err := s.Out(b.Context(), 0); err != nil || len(list) != slipsOut {
					b.Fatalf("%d slips out, %v, want %d", len(list), err, slipsOut)
				}
			}))
		}
		b.ReportMetric(0, "ns/op")
		b.ReportMetric(float64(median(stock).Microseconds())/1e3, "stock-ms")
		b.ReportMetric(float64(median(out).Microseconds())/1e3, "out-ms")
	})
}

const (
	bundles  = 1000
	slipsOut = 200
	month    = 30
)

// fullCrib is a crib at the end of a busy month: every can was opened into an
// oven and handed out from, half of what went out came back, the last slips are
// out.
func fullCrib(b *testing.B, d *db.DB) *shop {
	b.Helper()
	s := newShop(b, d, "yard")
	s.do(&inventory.PlaceSet{Place: "H3", SortKind: "holding oven"})
	s.do(&inventory.SensorSet{Sensor: "H3", Place: "H3"})
	var list []ovendb.Reading
	for at := opens; at <= opens.Add(month*measure.Day); at = at.Add(measure.Minute) {
		for _, oven := range []string{"H1", "H2", "H3"} {
			list = append(list, ovendb.Reading{Sensor: oven, At: at, Temp: measure.Celsius(130)})
		}
	}
	if _, err := s.AddReadings(b.Context(), list); err != nil {
		b.Fatal(err)
	}
	const cans = bundles / 2 // of which half of the rods go out and come back
	for n := range cans {
		s.pass((month*measure.Day-2*measure.Hour)/cans - 20*measure.Minute)
		can, oven := fmt.Sprintf("K%d", n), fmt.Sprintf("H%d", n%3+1)
		s.do(received("7B21", can, 150))
		if n == 0 {
			s.do(&inventory.LotReleased{Lot: "7B21"})
		}
		s.do(&inventory.Opened{Bundle: can, Into: oven})
		slip := fmt.Sprintf("S%d", n)
		s.do(issue(slip, can, 40))
		s.pass(20 * measure.Minute)
		s.do(&inventory.Returned{Slip: slip, Unused: 20, Stubs: 20, Into: oven, As: fmt.Sprintf("R%d", n)})
	}
	for n := range slipsOut {
		s.do(issue(fmt.Sprintf("OUT%d", n), fmt.Sprintf("K%d", n), 10))
	}
	return s
}
