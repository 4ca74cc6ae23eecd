package supply_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/joint"
	"ovenward/forecast/supply"
	"ovenward/inventory/measure"
)

// drawn returns needs in order of week, and stock.
func drawn(t *rapid.T) ([]supply.Need, []supply.Part) {
	items := []joint.Item{plain, dry, thick}
	var needs []supply.Need
	for n := range rapid.IntRange(0, 8).Draw(t, "weeks") {
		for _, i := range items {
			if rapid.Bool().Draw(t, "needed") {
				needs = append(needs, need(n+1, i, rapid.Int64Range(0, 40).Draw(t, "pieces")))
			}
		}
	}
	parts := make([]supply.Part, rapid.IntRange(0, 6).Draw(t, "parts"))
	for i := range parts {
		last := measure.Date("")
		if w := rapid.IntRange(0, 9).Draw(t, "last week"); w > 0 {
			last = endOf(w)
		}
		serves := rapid.SliceOfNDistinct(rapid.SampledFrom(items), 0, 3, rapid.ID[joint.Item]).Draw(t, "serves")
		parts[i] = part(rapid.Int64Range(0, 100).Draw(t, "in it"), last, serves...)
	}
	return needs, parts
}

// TestNothingIsTakenTwice holds for any plan and stock: what is taken and what
// is lacking make the need, no more is taken than is usable, and all that is
// taken was there.
func TestNothingIsTakenTwice(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		needs, parts := drawn(t)
		var have, taken int64
		for _, p := range parts {
			have += p.Pieces
		}
		for _, b := range supply.RunDown(needs, parts) {
			taken += b.Taken
			if b.Taken+b.Short != b.Pieces || b.Taken > b.Usable || b.Short > 0 && b.Taken < b.Usable || b.Late > b.Usable {
				t.Fatalf("balance %+v does not add up", b)
			}
			if b.Left > b.Usable-b.Pieces {
				t.Fatalf("balance %+v leaves more than there is", b)
			}
		}
		if taken > have {
			t.Fatalf("%d taken of %d", taken, have)
		}
	})
}

// TestMoreStockIsNeverShorter holds for one item: what is lacking in all does
// not grow with the stock.
func TestMoreStockIsNeverShorter(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		needs, parts := drawn(t)
		for i := range needs {
			needs[i].Item = plain
		}
		for i := range parts {
			parts[i].Serves = []supply.Want{{Item: plain}}
		}
		more := append([]supply.Part{}, parts...)
		more = append(more, part(rapid.Int64Range(1, 50).Draw(t, "more"), "", plain))
		if a, b := lacking(needs, parts), lacking(needs, more); b > a {
			t.Fatalf("%d lacking with more stock, %d with less", b, a)
		}
	})
}

func lacking(needs []supply.Need, parts []supply.Part) (n int64) {
	for _, b := range supply.RunDown(needs, parts) {
		n += b.Short
	}
	return n
}
