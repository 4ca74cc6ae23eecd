// Package demand adds up what planned joints need, by ISO week and item, and
// sets it against the usable stock.
package demand

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// Input is what a forecast is made from.
type Input struct {
	Joints     []joint.Joint
	Catalogue  *metal.Catalogue
	Named      *joint.Catalogue // preparations that joints may name; nil: none
	Allowances Allowances
	// Stock is the usable pieces of each item. An item that is not in it has
	// none; a nil map means that stock is not compared.
	Stock map[joint.Item]int64
}

// Allowances are parts of the metal added to what geometry gives: 0.03 is 3 %.
type Allowances struct {
	Repair   float64 // metal welded again
	Handling float64 // rods lost, spoilt or scrapped
}

func (a Allowances) factor() float64 { return (1 + a.Repair) * (1 + a.Handling) }

// Forecast is what the joints need. Lines and Items are in order of week and of
// item; a joint is in its totals or in NotComputed, never in both and never in
// neither.
type Forecast struct {
	Lines       []Line
	Items       []Total
	NotComputed []NotComputed
	Computed    int  // lines of the plan that were computed
	Compared    bool // with stock
	Notes       []string
}

// Line is one item in one week.
type Line struct {
	Week      measure.Week
	Item      joint.Item
	Pieces    int64        // rounded up once, for the week and the item
	Deposited measure.Mass // weld metal
	Purchased measure.Mass // whole rods, not rounded to pieces; 0 if a piece's mass is not known
}

// Total is one item over all weeks, against stock.
type Total struct {
	Rod        metal.Rod // the data used, with its table rows
	Pieces     int64     // sum of the weekly pieces
	Deposited  measure.Mass
	Purchased  measure.Mass // 0 if a piece's mass is not known
	Stock      int64
	Short      int64        // pieces that the stock lacks over all weeks
	FirstShort measure.Week // the first week that the stock does not cover; zero if it covers all
}

// NotComputed is a joint of the plan that is in no total.
type NotComputed struct {
	Joint joint.Joint
	Err   *joint.UncomputedError
}

// Make computes a forecast. The error is for an input that is wrong as a whole:
// an allowance below zero or above 1, a stock below zero.
func Make(in Input) (Forecast, error) {
	if err := in.check(); err != nil {
		return Forecast{}, err
	}
	t := newTally(in)
	for _, j := range in.Joints {
		t.add(j)
	}
	f := Forecast{NotComputed: t.notComputed, Computed: t.computed, Compared: in.Stock != nil}
	f.Lines = t.lines()
	f.Items = t.totals(f.Lines, in.Stock)
	f.Notes = t.notes(f)
	return f, nil
}

func (in Input) check() error {
	a := in.Allowances
	for _, n := range []struct {
		name  string
		value float64
	}{{"repair", a.Repair}, {"handling", a.Handling}} {
		if !(n.value >= 0 && n.value <= 1) {
			return fmt.Errorf("%s allowance %v: not from 0 to 1; write 0.03 for 3 %%", n.name, n.value)
		}
	}
	for i, n := range in.Stock {
		if n < 0 {
			return fmt.Errorf("stock of %s %d: below zero; count it again", i, n)
		}
	}
	return nil
}

// lines turns the sums into the forecast's lines.
func (t *tally) lines() []Line {
	lines := make([]Line, 0, len(t.sums))
	for k, s := range t.sums {
		lines = append(lines, Line{
			Week: k.week, Item: k.item, Pieces: wholePieces(s.Pieces),
			Deposited: metal.Mass(s.Deposited), Purchased: metal.Mass(s.Purchased),
		})
	}
	slices.SortFunc(lines, func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.Week.Year, b.Week.Year), cmp.Compare(a.Week.Number, b.Week.Number),
			a.Item.Compare(b.Item))
	})
	return lines
}

// totals adds the lines up by item and runs the stock down week by week.
func (t *tally) totals(lines []Line, stock map[joint.Item]int64) []Total {
	have := t.stockByItem(stock)
	byItem := make(map[joint.Item]*Total)
	for _, l := range lines {
		o := byItem[l.Item]
		if o == nil {
			o = &Total{Rod: t.used[l.Item], Stock: have[l.Item]}
			byItem[l.Item] = o
		}
		o.Pieces += l.Pieces
		o.Deposited += l.Deposited
		o.Purchased += l.Purchased
		if stock != nil && o.Short == 0 && o.Pieces > o.Stock {
			o.FirstShort = l.Week
		}
		if stock != nil {
			o.Short = max(0, o.Pieces-o.Stock)
		}
	}
	totals := make([]Total, 0, len(byItem))
	for _, i := range slices.SortedFunc(maps.Keys(byItem), joint.Item.Compare) {
		totals = append(totals, *byItem[i])
	}
	return totals
}

// stockByItem gathers stock under the tables' diameters, so that 3.2 mm on a
// label and 1/8 in on a plan are one item where the tables have one.
func (t *tally) stockByItem(stock map[joint.Item]int64) map[joint.Item]int64 {
	have := make(map[joint.Item]int64, len(stock))
	for i, n := range stock {
		if r, err := t.catalogue.Rod(i); err == nil {
			i = r.Item
		}
		have[i] += n
	}
	return have
}

// wholePieces rounds up, but not for the last digits of a floating sum.
func wholePieces(n float64) int64 {
	const noise = 1e-9
	return int64(math.Ceil(n - noise*max(1, n)))
}
