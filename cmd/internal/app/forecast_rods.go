package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// Receipt is what one rod of an item weighed when it came in: net mass over
// pieces, by the label.
type Receipt struct {
	Item  joint.Item
	Lot   string
	At    measure.Instant // when the lot last came in
	Piece measure.Mass
}

// sameLength is how far the length of rods may be from that of the tables for
// their mass to be used: 350 mm are sold for 14 in, which is 1.6 % more.
const sameLength = 0.02

// scales are the tables with what was found on receipt laid over them.
type scales struct {
	zone     *time.Location
	tables   Tables
	receipts []Receipt
	notes    []string // receipts that contradict the tables
}

// weigh returns the shop's tables, with the newest receipt
// that agrees with them for each item that the joints name.
func (v *view) weigh(joints []joint.Joint) (*scales, error) {
	tables, err := v.app.tables()
	if err != nil {
		return nil, err
	}
	lots, err := stockdb.Lots(v.ctx, v.tx, v.site)
	if err != nil {
		return nil, err
	}
	s := &scales{zone: v.zone, tables: tables}
	received := map[string]measure.Instant{}
	done := map[joint.Item]bool{} // 3.2 mm and 1/8 in are one item of the tables
	for _, planned := range items(joints) {
		item, length := tableItem(s.tables.Metal, planned)
		if done[item] {
			continue
		}
		done[item] = true
		found, err := v.receipts(newWanted(item), lots, received)
		if err != nil {
			return nil, err
		}
		s.lay(item, length, found)
	}
	return s, nil
}

// items returns each item that the joints name, as they name it, in the order
// of the first joint that does.
func items(joints []joint.Joint) []joint.Item {
	var list []joint.Item
	seen := map[joint.Item]bool{}
	for _, j := range joints {
		for _, p := range j.Passes {
			if !seen[p.Item] {
				seen[p.Item] = true
				list = append(list, p.Item)
			}
		}
	}
	return list
}

// tableItem returns an item under the tables' names, with the rod's length
// there; zero where they have no rod of it.
func tableItem(c *metal.Catalogue, i joint.Item) (joint.Item, measure.Length) {
	r, err := c.Rod(i)
	if err != nil {
		return joint.Item{Class: metal.FoldClass(i.Class), Diameter: i.Diameter}, 0
	}
	return r.Item, r.Length
}

// lotReceipt is a lot with when it last came in.
type lotReceipt struct {
	inventory.Lot
	at measure.Instant
}

// receipts returns the lots that serve an item and whose rods' mass is known,
// the newest first. What it learns of a lot it keeps in received.
func (v *view) receipts(k wanted, lots []inventory.Lot, received map[string]measure.Instant) ([]lotReceipt, error) {
	var found []lotReceipt
	for _, l := range lots {
		if l.Piece == 0 || !k.servedBy(l) {
			continue
		}
		at, known := received[l.Code]
		if !known {
			bundles, err := stockdb.LotBundles(v.ctx, v.tx, v.site, l.Code)
			if err != nil {
				return nil, err
			}
			for _, b := range bundles {
				if b.Received <= v.at {
					at = max(at, b.Received)
				}
			}
			received[l.Code] = at
		}
		if at != 0 {
			found = append(found, lotReceipt{l, at})
		}
	}
	slices.SortStableFunc(found, func(a, b lotReceipt) int { return cmp.Compare(b.at, a.at) })
	return found, nil
}

// lay lays the newest receipt over the tables that agrees with them, and notes
// those that do not.
func (s *scales) lay(item joint.Item, length measure.Length, found []lotReceipt) {
	for _, l := range found {
		if length != 0 && l.Length != 0 && math.Abs(float64(l.Length-length)) > sameLength*float64(length) {
			s.note(l, fmt.Sprintf("they are %s long, those of the tables %s; as stock each counts for one",
				joint.SizeText(l.Length), joint.SizeText(length)))
			continue
		}
		source := fmt.Sprintf("receipt of lot %s on %s", l.Code, measure.DateOf(l.at, s.zone))
		laid := s.tables.Metal.Weigh(item, l.Piece, source)
		if _, err := laid.Rod(item); err != nil {
			if length != 0 { // the tables have the rod, so the receipt is at fault
				s.note(l, err.Error())
			}
			continue
		}
		s.tables.Metal = laid
		s.receipts = append(s.receipts, Receipt{Item: item, Lot: l.Code, At: l.at, Piece: l.Piece})
		return
	}
}

func (s *scales) note(l lotReceipt, why string) {
	s.notes = append(s.notes, fmt.Sprintf("lot %s: what its rods weigh is not used: %s", l.Code, why))
}

// wanted is an item of the plan with its mark, to find the stock that serves it.
type wanted struct {
	item   joint.Item
	byMass bool
	mark   designation.Mark
	err    error // the class is not one mark: no stock is known to serve it
	asks   *asks // of papers and owner; nil: nothing
}

func newWanted(i joint.Item) wanted {
	m, err := designation.Parse(i.Class, "")
	if slices.Contains(metal.Processes(), metal.FoldClass(i.Class)) {
		err = fmt.Errorf("%s is a process: name the wire's class", i.Class)
	}
	return wanted{item: i, byMass: metal.ByMass(i.Class), mark: m, err: err}
}

// servedBy reports whether rods of a lot may go out for the item, or its wire from
// spools; cut lengths of wire are counted, and no plan asks for them.
func (k wanted) servedBy(l inventory.Lot) bool {
	return k.err == nil && l.Counted() != k.byMass && inventory.Satisfies(k.mark, l.Mark) && k.item.Diameter.Near(l.Diameter)
}
