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
	var first *inventory.Refusal
	for i, c := range all {
		j, err := d.mayGo(set, e, c.Bundle)
		ref, refused := errors.AsType[*inventory.Refusal](err)
		switch {
		case err == nil:
			e.Judged = &inventory.Judged{Proposed: whyThis(all, i)}
			return c.Bundle, j, nil
		case !refused:
			return c.Bundle, j, err
		case first == nil:
			first = ref
		}
	}
	return inventory.Bundle{}, none, nothingReady(e, all, first)
}

// whyThis says why the i-th candidate is proposed.
func whyThis(all []inventory.Candidate, i int) string {
	switch {
	case i > 0:
		return fmt.Sprintf("the first that may go out; %s before it may not", bundles(i))
	case len(all) == 1:
		return "the only one here"
	}
	return all[0].WhyBefore(all[1])
}

func bundles(n int) string {
	if n == 1 {
		return "1 bundle"
	}
	return fmt.Sprintf("%d bundles", n)
}

// mayGo judges a candidate; one with too few rods is not judged at all.
func (d *desk) mayGo(set *rules.Set, e *inventory.Issued, b inventory.Bundle) (exposure.Judgement, error) {
	l, err := d.lot(b.Lot)
	if err != nil {
		return exposure.Judgement{}, err
	}
	asked := *e // weighed stock without a mass takes the bundle's own
	if err := d.amount(l, b, &asked); err != nil {
		return exposure.Judgement{}, d.offering(set, l, b, err)
	}
	said, flags := len(d.warnings), d.flagged()
	j, err := d.issuable(set, l, b)
	if err != nil { // what was said of it is not said of the next
		d.warnings = d.warnings[:said]
		if d.act != nil {
			d.act.Flags = flags
		}
		return j, err
	}
	e.Pieces, e.Mass = asked.Pieces, asked.Mass
	return j, nil
}

// candidates returns the bundles of the class and size in the order in which
// they should go out.
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
		if b.Slip != "" || d.at < b.Born || l.Status == inventory.PracticeStock || !inventory.Satisfies(asked, l.Mark) || !l.Diameter.Near(size) {
			continue
		}
		e, err := d.goodUntil(set, l, b)
		if err != nil {
			return nil, err
		}
		list = append(list, inventory.Candidate{Bundle: b, Expires: e.Last})
	}
	slices.SortFunc(list, inventory.Candidate.Compare)
	return list, nil
}

// nothingReady says why none of the candidates may go out, beginning with the
// one that should have been first.
func nothingReady(e *inventory.Issued, all []inventory.Candidate, first *inventory.Refusal) error {
	switch len(all) {
	case 0:
		return &inventory.Refusal{Code: inventory.NotEnough, Subject: e.Class + " " + e.Diameter, Value: fmt.Sprint(e.Pieces),
			Limit: "0", Why: "none of it is here", Next: "see what is here with: ovenward stock"}
	case 1:
		return first
	}
	ref := *first
	ref.Subject = e.Class + " " + e.Diameter
	ref.Why = fmt.Sprintf("none of %s may go out; the first, %s: %s", bundles(len(all)), all[0].Bundle.Code, first.Why)
	return &ref
}
