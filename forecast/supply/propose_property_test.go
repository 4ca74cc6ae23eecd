package supply_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/supply"
)

// drawPolicy draws a policy of any method.
func drawPolicy(t *rapid.T) supply.Policy {
	return supply.Policy{
		Method:   rapid.SampledFrom(supply.Methods()).Draw(t, "method"),
		LeadDays: rapid.IntRange(0, 30).Draw(t, "lead"), LeadSpread: rapid.Float64Range(0, 9).Draw(t, "lead spread"),
		ReleaseDays: rapid.IntRange(0, 9).Draw(t, "release"), Service: rapid.SampledFrom([]float64{0, 0.5, 0.95, 0.999}).Draw(t, "service"),
		OrderCost: rapid.Float64Range(0, 90).Draw(t, "order cost"), Hold: rapid.Float64Range(0, 0.4).Draw(t, "hold"),
		Over: rapid.Float64Range(0.1, 5).Draw(t, "over"), Under: rapid.Float64Range(0.1, 5).Draw(t, "under"),
		Weeks: rapid.IntRange(0, 6).Draw(t, "weeks"), At: rapid.Int64Range(0, 60).Draw(t, "at"),
		UpTo: rapid.Int64Range(60, 200).Draw(t, "up to"), Quantity: rapid.Int64Range(0, 90).Draw(t, "quantity"),
		Pack: rapid.Int64Range(0, 60).Draw(t, "pack"), Minimum: rapid.Int64Range(0, 150).Draw(t, "minimum"),
		Breaks:     []supply.Break{{Price: 1}, {From: 40, Price: 0.9}, {From: 100, Price: 0.7}},
		ShelfWeeks: rapid.IntRange(0, 12).Draw(t, "shelf"),
	}
}

// Whatever the policy: with the orders delivered by their days nothing is short;
// they are whole packages and not below the least order; what is projected is
// what running the stock down with them leaves.
func TestOrdersCoverEveryNeed(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var needs []supply.Need
		for i, n := range rapid.SliceOfN(rapid.Int64Range(0, 60), 1, 16).Draw(t, "needs") {
			needs = append(needs, need(i+1, plain, n))
		}
		parts := []supply.Part{
			part(rapid.Int64Range(0, 150).Draw(t, "dated"), endOf(rapid.IntRange(1, 16).Draw(t, "last week")), plain),
			part(rapid.Int64Range(0, 150).Draw(t, "stock"), "", plain)}
		l := supply.Lines(supply.RunDown(needs, parts))[0]
		l.Policy, l.Today = drawPolicy(t), week(1).Monday()
		l.Spread = rapid.SliceOfN(rapid.Float64Range(0, 20), len(needs), len(needs)).Draw(t, "spread")
		p := supply.Propose(l)
		late := false
		for _, o := range p.Orders {
			if o.Pieces < max(1, l.Policy.Minimum, o.Lack) || l.Policy.Pack > 0 && (o.Pieces%l.Policy.Pack != 0 || o.Packs*l.Policy.Pack != o.Pieces) {
				t.Fatalf("order %+v by %+v", o, l.Policy)
			}
			delivery := part(o.Pieces, "", plain)
			delivery.FirstDay = o.HereBy
			parts, late = append(parts, delivery), late || o.Late > 0
		}
		for i, b := range supply.RunDown(needs, parts) {
			if b.Short > 0 {
				t.Fatalf("week %d lacks %d with orders %+v", i+1, b.Short, p.Orders)
			}
			if left := b.Usable - b.Taken; !late && left != p.Projected[i] {
				t.Fatalf("week %d leaves %d, projected %d", i+1, left, p.Projected[i])
			}
		}
	})
}

// By a service level no week that an order can reach is projected below the
// safety stock.
func TestSafetyStockIsKept(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		l := line(supply.Policy{LeadDays: rapid.IntRange(1, 40).Draw(t, "lead"), Service: 0.9, Pack: rapid.Int64Range(0, 50).Draw(t, "pack")},
			rapid.Int64Range(0, 300).Draw(t, "stock"), rapid.SliceOfN(rapid.Int64Range(1, 60), 9, 16).Draw(t, "needs")...)
		l.Spread = make([]float64, len(l.Weeks))
		for i := range l.Spread {
			l.Spread[i] = 10
		}
		p := supply.Propose(l)
		for i, left := range p.Projected {
			if l.Weeks[i].Week.Monday() >= l.Today.AddDays(l.Policy.LeadDays) && left < p.Safety {
				t.Fatalf("week %d is projected to end with %d, safety stock %d; orders %+v", i+1, left, p.Safety, p.Orders)
			}
		}
	})
}
