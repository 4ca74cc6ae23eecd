package app

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/forecast/supply"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// NotCounted is stock of an item that the forecast leaves out, for one reason.
type NotCounted struct {
	Item   joint.Item
	Pieces int64
	Lots   []string
	Why    string
}

// counted is a bundle that may go out, now or after what the rules ask for.
type counted struct {
	inventory.Candidate
	verdict inventory.Verdict
	serves  []supply.Want
}

// usable returns the stock that counts for what is wanted, in the order in which
// the window hands it out, and lists in the outlook what does not.
func (v *view) usable(stock []Look, items []wanted, o *Outlook) ([]supply.Part, error) {
	today := measure.DateOf(v.at, v.zone)
	var list []counted
	for _, l := range stock {
		serves := served(items, l.Lot)
		if len(serves) == 0 {
			continue
		}
		last := l.Expiry.Last
		if why := uncounted(l, last, today); why != "" {
			o.leaveOut(serves, l.Lot.Code, held(l.Bundle), why)
			continue
		}
		wants, err := v.suited(l, serves, o)
		if err != nil {
			return nil, err
		}
		list = append(list, counted{verdict: l.Judgement.Verdict, serves: wants,
			Candidate: inventory.Candidate{Bundle: l.Bundle, Expires: last}})
	}
	if err := v.leaveOutSlips(items, o); err != nil {
		return nil, err
	}
	slices.SortStableFunc(list, func(a, b counted) int { return a.Compare(b.Candidate) })
	slices.SortStableFunc(o.NotCounted, func(a, b NotCounted) int { return a.Item.Compare(b.Item) })
	return o.parts(list), nil
}

// wanted returns the items that the plan needs, with their marks.
func (o *Outlook) wanted() []wanted {
	items := make([]wanted, len(o.Demand.Items))
	for i, t := range o.Demand.Items {
		items[i] = newWanted(t.Rod.Item)
		o.noteUnread(items[i])
	}
	return items
}

// noteUnread says that nothing can serve an item whose class is no mark.
func (o *Outlook) noteUnread(k wanted) {
	if k.err != nil {
		o.Notes = append(o.Notes, fmt.Sprintf("no stock is set against %s: %v", k.item, k.err))
	}
}

func served(items []wanted, l inventory.Lot) (serves []wanted) {
	for _, k := range items {
		if k.servedBy(l) {
			serves = append(serves, k)
		}
	}
	return serves
}

// uncounted says why a bundle does not count; empty where it does. Rods to bake
// count: the verdict says that they may be baked.
func uncounted(l Look, last, today measure.Date) string {
	switch {
	case l.Lot.Status == inventory.Awaiting:
		return "the lot awaits release by QA"
	case l.Lot.Status == inventory.PracticeStock:
		return l.Lot.Reason
	case l.Lot.Status != inventory.Released:
		return "the lot is held by QA: " + l.Lot.Reason
	case l.Bundle.Hold != "":
		return "held by QA: " + l.Bundle.Hold
	case last != "" && last < today:
		return "out of date since " + string(last)
	}
	switch l.Judgement.Verdict {
	case inventory.Sealed, inventory.Ready, inventory.Hold, inventory.Bake:
		return ""
	case inventory.Out:
		return "in the open: back into the oven, or its clock runs out"
	case inventory.Discard:
		return "to be scrapped: " + l.Judgement.Why
	case inventory.QAHold:
		return "QA decides: " + l.Judgement.Why
	default:
		return cmp.Or(l.Judgement.Why, "no rule covers it")
	}
}

// leaveOut lists stock that does not count, by item and reason.
func (o *Outlook) leaveOut(serves []wanted, lot string, pieces int64, why string) {
	for at, k := range serves {
		item := k.item
		if slices.ContainsFunc(serves[:at], func(o wanted) bool { return o.item == item }) {
			continue // wanted with other papers too
		}
		i := slices.IndexFunc(o.NotCounted, func(n NotCounted) bool { return n.Item == item && n.Why == why })
		if i < 0 {
			i = len(o.NotCounted)
			o.NotCounted = append(o.NotCounted, NotCounted{Item: item, Why: why})
		}
		n := &o.NotCounted[i]
		n.Pieces += pieces
		if !slices.Contains(n.Lots, lot) {
			n.Lots = append(n.Lots, lot)
		}
	}
}

// leaveOutSlips lists the rods that are out: what comes back of them is not
// known.
func (v *view) leaveOutSlips(items []wanted, o *Outlook) error {
	slips, err := v.out()
	if err != nil {
		return err
	}
	for _, s := range slips {
		l, err := v.lot(s.Lot)
		if err != nil {
			return err
		}
		o.leaveOut(served(items, l), l.Code, wentOut(s).issued, "out on slips")
	}
	return nil
}

// parts turns what counts into stock to run down, and sums up what must be
// baked first.
func (o *Outlook) parts(list []counted) []supply.Part {
	o.ToBake = map[joint.Item]int64{}
	parts := make([]supply.Part, len(list))
	for i, c := range list {
		parts[i] = supply.Part{Pieces: held(c.Bundle), LastDay: c.Expires, Serves: c.serves}
		if c.verdict == inventory.Bake {
			for at, w := range c.serves {
				if !slices.ContainsFunc(c.serves[:at], func(o supply.Want) bool { return o.Item == w.Item }) {
					o.ToBake[w.Item] += held(c.Bundle)
				}
			}
		}
	}
	return parts
}
