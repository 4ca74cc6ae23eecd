package supply

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/measure"
)

// Order is one order that a plan asks for.
type Order struct {
	Want
	Week     measure.Week // the first week that it is for
	Last     measure.Week // the last week before the next order, or that needs anything
	HereBy   measure.Date // the Monday of Week, by which it must be here and released
	OrderBy  measure.Date // the latest day to order; empty where no lead time is set
	Late     int          // days that the latest day lies back; zero: none
	Ready    measure.Date // when it can go out, if ordered on the latest day or, that being past, today
	Lack     int64        // pieces that the method asks for
	Pieces   int64        // pieces to order
	Packs    int64        // packages of them; zero where no package is set
	Price    float64      // of one piece; zero: not known
	Outdated int64        // pieces of it that run out of date before the plan needs them
	P50, P90 int64        // pieces that its weeks take in half and in nine of ten runs; zero: not known
	Why      string       // in one line
}

// Cost returns what the goods of the order cost; zero: not known.
func (o Order) Cost() float64 { return o.Price * float64(o.Pieces) }

// Proposal is what to order of one want.
type Proposal struct {
	Line
	Orders    []Order
	Safety    int64   // stock
	Projected []int64 // usable pieces after each week, with the orders when they can be here; below zero is short
}

// Propose returns the orders that a line asks for, in the order of their weeks.
// Together and in time they are never less than what the line lacks.
func Propose(l Line) Proposal {
	lots, method := l.sizes()
	p := Proposal{Line: l, Safety: l.safety(), Projected: l.position()}
	rounded := l.rounded(lots)
	for t, r := range rounded {
		if r.pieces == 0 {
			continue
		}
		end := slices.IndexFunc(rounded[t+1:], func(o rounding) bool { return o.pieces > 0 })
		last := max(t, l.lastNeed())
		if end >= 0 {
			last = t + end
		}
		o := l.order(t, last, r)
		if runs := l.runs(t, last); runs != nil {
			o.P50, o.P90 = ceil(Quantile(runs, 0.5)), ceil(Quantile(runs, 0.9))
		}
		o.Why = l.why(o, t, last, method, r)
		p.Orders = append(p.Orders, o)
		for w := max(t, l.arrivesLate(o)); w < len(p.Projected); w++ {
			p.Projected[w] += o.Pieces
		}
	}
	return p
}

// safety is the safety stock that counts; policies with levels of their own have
// none.
func (l Line) safety() int64 {
	if l.Policy.Method == ByLevels || l.Policy.Method == ByQuantity {
		return 0
	}
	return l.Safety()
}

// arrivesLate is the week in which an order that is late comes; the first week
// for one that is not.
func (l Line) arrivesLate(o Order) int {
	if o.Late == 0 {
		return 0
	}
	return l.arrives(l.Today)
}

func (l Line) order(t, last int, r rounding) Order {
	o := Order{Want: l.Want, Week: l.Weeks[t].Week, Last: l.Weeks[last].Week, HereBy: l.Weeks[t].Week.Monday(),
		Lack: r.lack, Pieces: r.pieces, Price: r.price, Outdated: r.outdated}
	if l.Policy.Pack > 0 {
		o.Packs = o.Pieces / l.Policy.Pack
	}
	if l.Policy.LeadDays == 0 {
		return o
	}
	o.OrderBy = o.HereBy.AddDays(-l.Policy.toHand())
	o.Late = max(0, o.OrderBy.DaysUntil(l.Today))
	o.Ready = max(o.OrderBy, l.Today).AddDays(l.Policy.toHand())
	return o
}

// why says in one line where the quantity comes from.
func (l Line) why(o Order, from, to int, method string, r rounding) string {
	need, short := int64(0), int64(0)
	for _, w := range l.Weeks[from : to+1] {
		need += w.Pieces
		short += w.Short
	}
	weeks := o.Week.String()
	if from != to {
		weeks += " to " + o.Last.String()
	}
	parts := []string{say("%s: need %s, in stock or due %s, short %s", weeks, l.write(need), l.write(need-short), l.write(short))}
	switch safety := o.Lack - short; {
	case safety > 0 && l.safety() > 0:
		parts = append(parts, say("%s more, for safety at %.0f %%", l.write(safety), 100*l.Policy.Service))
	case safety > 0:
		parts = append(parts, say("%s more by the policy", l.write(safety)))
	case safety < 0:
		parts = append(parts, say("%s of them come with earlier orders", l.write(-safety)))
	}
	parts = append(parts, method)
	switch {
	case l.Policy.Pack > 1 && o.Packs == 1:
		parts = append(parts, say("1 pack of %s", l.write(l.Policy.Pack)))
	case l.Policy.Pack > 1:
		parts = append(parts, say("%d packs of %s", o.Packs, l.write(l.Policy.Pack)))
	case o.Pieces > o.Lack:
		parts = append(parts, say("the least order is %s", l.write(l.Policy.Minimum)))
	}
	if r.saved > 0 {
		parts = append(parts, say("from %s on it is cheaper, which saves %.2f", l.write(r.breakAt), r.saved))
	}
	return strings.Join(parts, "; ")
}

// Late orders orders: those that are late come first, the latest of them first,
// then those whose latest day is nearest, then those without one by week.
func Late(a, b Order) int {
	return cmp.Or(cmp.Compare(b.Late, a.Late), cmp.Compare(day(a), day(b)), cmp.Compare(a.HereBy, b.HereBy), a.Want.Compare(b.Want))
}

// day is the day an order is sorted by.
func day(o Order) measure.Date { return cmp.Or(o.OrderBy, "9999-12-31") }

func say(format string, args ...any) string { return fmt.Sprintf(format, args...) }
