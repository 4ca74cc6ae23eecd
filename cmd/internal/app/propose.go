package app

import (
	"errors"
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// propose chooses a bundle for a class and size: returned or baked rods first,
// then what expires first, then what was received first.
func (d *desk) propose(set *rules.Set, e *inventory.Issued) (inventory.Bundle, exposure.Judgement, error) {
	var none exposure.Judgement
	if e.Class == "" || e.Diameter == "" {
		return inventory.Bundle{}, none, &inventory.Refusal{Code: inventory.Unknown, Subject: "bundle",
			Why: "neither a bundle nor a class with its size is given", Next: "scan a bundle, or give --class and --size"}
	}
	all, err := d.candidates(set, e)
	if err != nil {
		return inventory.Bundle{}, none, err
	}
	var best *inventory.Candidate
	for i := range all {
		if all[i].Refused == nil {
			best = &all[i]
			break
		}
	}
	if best == nil {
		return inventory.Bundle{}, none, nothingReady(e, all)
	}
	e.Judged = &inventory.Judged{Proposed: inventory.WhyFirst(all)}
	j, err := d.judged(set, best.Bundle)
	return best.Bundle, j, err
}

// candidates returns the bundles of the class and size in the order in which
// they should go out, each with why it may not.
func (d *desk) candidates(set *rules.Set, e *inventory.Issued) ([]inventory.Candidate, error) {
	asked, err := designation.Parse(e.Class, "")
	if err != nil {
		return nil, inventory.FieldRefusal("class", err)
	}
	size, err := measure.ParseLength(e.Diameter)
	if err != nil {
		return nil, inventory.FieldRefusal("diameter", err)
	}
	live, err := stockdb.Live(d.ctx, d.tx, d.site)
	if err != nil {
		return nil, err
	}
	var list []inventory.Candidate
	for _, b := range live {
		l, err := d.lot(b.Lot)
		if err != nil {
			return nil, err
		}
		if b.Slip != "" || d.at < b.Born || !inventory.Satisfies(asked, l.Mark) || !l.Diameter.Near(size) {
			continue
		}
		c, err := d.candidate(set, e, l, b)
		if err != nil {
			return nil, err
		}
		list = append(list, c)
	}
	slices.SortStableFunc(list, inventory.Candidate.Compare)
	return list, nil
}

func (d *desk) candidate(set *rules.Set, e *inventory.Issued, l inventory.Lot, b inventory.Bundle) (inventory.Candidate, error) {
	c := inventory.Candidate{Bundle: b}
	c.Expires, _ = set.ExpiresOn(subject(l, b), l.Made, l.Expires)
	j, err := d.issuable(set, l, b)
	if err == nil {
		amount := *e
		err = d.amount(l, b, &amount)
	}
	c.Baked = j.Bakes > 0
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		c.Refused, err = ref, nil
	}
	return c, err
}

// nothingReady says why none of the candidates may go out, the nearest first.
func nothingReady(e *inventory.Issued, all []inventory.Candidate) error {
	ref := &inventory.Refusal{Code: inventory.NotEnough, Subject: e.Class + " " + e.Diameter, Value: fmt.Sprint(e.Pieces), Limit: "0",
		Why: "none of it is here", Next: "see what is here with: ovenward stock"}
	if len(all) == 0 {
		return ref
	}
	first := all[0].Refused
	if len(all) == 1 {
		return first
	}
	ref.Code = first.Code
	ref.Why = fmt.Sprintf("none of %d bundles may go out; the first, %s: %s", len(all), all[0].Bundle.Code, first.Why)
	ref.Rule, ref.Source, ref.Limit, ref.Next = first.Rule, first.Source, first.Limit, first.Next
	return ref
}
