package supply_test

import (
	"testing"

	"ovenward/forecast/joint"
	"ovenward/forecast/supply"
	"ovenward/inventory/measure"
)

// year is a plan of 200 items over 52 weeks with three parts of stock of each,
// one of which runs out of date, and a need in two weeks of three.
func year() ([]supply.Need, []supply.Part) {
	const items, weeks = 200, 52
	var needs []supply.Need
	var parts []supply.Part
	for i := range items {
		item := joint.Item{Class: "E7018", Diameter: measure.Millimetre * measure.Length(i+1)}
		for w := range weeks {
			if (w+i)%3 > 0 {
				needs = append(needs, need(w+1, item, int64(20+(w*7+i*13)%60)))
			}
		}
		parts = append(parts, part(200, endOf(10), item), part(300, "", item), part(100, endOf(40), item))
	}
	return needs, parts
}

// BenchmarkYearOf200Items proposes the orders of a year, by each method: stock
// run down, lot sizes, packs, prices and why.
func BenchmarkYearOf200Items(b *testing.B) {
	needs, parts := year()
	for _, m := range supply.Methods() {
		p := supply.Policy{Method: m, LeadDays: 21, LeadSpread: 4, Service: 0.95, OrderCost: 60, Hold: 0.2, Over: 1, Under: 4, Weeks: 4,
			At: 100, UpTo: 600, Quantity: 300, Pack: 139, Breaks: []supply.Break{{Price: 0.14}, {From: 1000, Price: 0.12}}, ShelfWeeks: 30}
		b.Run(string(m), func(b *testing.B) {
			orders := 0
			for b.Loop() {
				orders = 0
				balances := supply.RunDown(supply.EveryWeek(needs, week(1), week(52)), parts)
				for _, l := range supply.Lines(balances) {
					l.Policy, l.Today = p, week(1).Monday()
					orders += len(supply.Propose(l).Orders)
				}
			}
			b.ReportMetric(float64(orders), "orders")
		})
	}
}
