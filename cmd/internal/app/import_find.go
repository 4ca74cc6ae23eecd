package app

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
)

// complete returns an act's entries with what the register leaves to be found:
// the bundle of a lot, the slip of a welder, what an act of the same row made.
// One that was recorded before is found by its id and needs nothing.
func (im *importing) complete(v *view, i int) ([]inventory.Entry, error) {
	act := im.reg.Acts[i]
	if _, err := ledgerdb.ByID(v.ctx, v.tx, v.site, im.ids[i]); !errors.Is(err, db.ErrNotFound) {
		return act.Entries, err
	}
	var before []Done
	if act.After >= 0 {
		before = im.done[act.After]
	}
	switch e := act.Entries[0].(type) {
	case *inventory.Issued:
		one := *e
		return []inventory.Entry{&one}, v.bundleToIssue(act.Lot, &one)
	case *inventory.Baked:
		one := *e
		return []inventory.Entry{&one}, v.bundleToBake(act.Lot, &one)
	case *inventory.Returned:
		one := *e
		return []inventory.Entry{&one}, v.slipOf(before, act.Welder, &one)
	case *inventory.Moved:
		one := *e
		if len(before) > 0 {
			one.Bundle = before[0].Entry.(*inventory.Baked).Bundle
		}
		return []inventory.Entry{&one}, nil
	case *inventory.Scrapped:
		one := *e
		if nth := i - act.After - 1; nth < len(before) {
			one.Bundle = before[nth].Entry.(*inventory.Received).Bundle
		}
		return []inventory.Entry{&one}, nil
	}
	return act.Entries, nil
}

// bundleToIssue chooses the bundle of a lot that the window would have handed
// out first.
func (v *view) bundleToIssue(lot string, e *inventory.Issued) error {
	if e.Bundle != "" || lot == "" {
		return nil
	}
	var mass measure.Mass
	if e.Mass != "" {
		m, err := measure.ParseMass(e.Mass)
		if err != nil {
			return inventory.FieldRefusal("mass", err)
		}
		mass = m
	}
	here, err := v.lotInCrib(lot)
	if err != nil {
		return err
	}
	enough := slices.DeleteFunc(slices.Clone(here), func(c inventory.Candidate) bool {
		return c.Bundle.Pieces < int64(e.Pieces) || c.Bundle.Mass < mass
	})
	if len(enough) == 0 {
		return &inventory.Refusal{Code: inventory.NotEnough, Subject: "lot", Value: lot,
			Why:  fmt.Sprintf("no bundle of lot %s had so much left at %s", lot, v.at.In(v.zone)),
			Next: "look for a receipt or a return that is missing, or name the bundle; rods of two bundles go out on two rows"}
	}
	e.Bundle = enough[0].Bundle.Code
	if len(here) > 1 {
		e.Judged = &inventory.Judged{Proposed: "the register names the lot alone"}
	}
	return nil
}

// lotInCrib returns what was left of a lot in the crib, in the order in which it
// should go out.
func (v *view) lotInCrib(lot string) ([]inventory.Candidate, error) {
	l, err := v.lot(lot)
	if err != nil {
		return nil, err
	}
	all, err := stockdb.LotBundles(v.ctx, v.tx, v.site, lot)
	if err != nil {
		return nil, err
	}
	var out []inventory.Candidate
	for _, b := range all {
		if !b.Empty() && b.Slip == "" && b.Born <= v.at {
			out = append(out, inventory.Candidate{Bundle: b, Expires: l.Expires})
		}
	}
	slices.SortStableFunc(out, inventory.Candidate.Compare)
	return out, nil
}

// bundleToBake finds the one bundle of a lot.
func (v *view) bundleToBake(lot string, e *inventory.Baked) error {
	if e.Bundle != "" || lot == "" {
		return nil
	}
	here, err := v.lotInCrib(lot)
	if err != nil {
		return err
	}
	if len(here) != 1 {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "lot", Value: lot,
			Why:  fmt.Sprintf("%s of lot %s were in the crib at %s", bundles(len(here)), lot, v.at.In(v.zone)),
			Next: "name the bundle that was baked" + namesOf(here)}
	}
	e.Bundle = here[0].Bundle.Code
	return nil
}

func namesOf(list []inventory.Candidate) string {
	if len(list) == 0 {
		return ""
	}
	var codes []string
	for _, c := range list {
		codes = append(codes, c.Bundle.Code)
	}
	return ": " + strings.Join(codes, ", ")
}

// slipOf finds the slip of a return: that of the issue in the same row, or the
// one that the welder had open.
func (v *view) slipOf(before []Done, welder string, e *inventory.Returned) error {
	if e.Slip != "" {
		return nil
	}
	if len(before) > 0 {
		e.Slip = before[0].Entry.(*inventory.Issued).Slip
		return nil
	}
	out, err := stockdb.OutAt(v.ctx, v.tx, v.site, v.at)
	if err != nil {
		return err
	}
	var open []string
	for _, s := range out {
		if strings.EqualFold(s.Welder, welder) {
			open = append(open, s.Code)
		}
	}
	if len(open) == 1 {
		e.Slip = open[0]
		return nil
	}
	ref := &inventory.Refusal{Code: inventory.Unknown, Subject: "welder", Value: welder,
		Why:  fmt.Sprintf("%s had nothing out at %s", welder, v.at.In(v.zone)),
		Next: "look for an issue that is missing, or write the number of the slip"}
	if len(open) > 1 {
		ref.Why = fmt.Sprintf("%s had %d slips out at %s: %s", welder, len(open), v.at.In(v.zone), strings.Join(open, ", "))
		ref.Next = "write the number of the slip that the rods came back on"
	}
	return ref
}

// lotsDone returns the lots that recorded facts are of.
func (v *view) lotsDone(all []Done) ([]string, error) {
	var lots []string
	for _, d := range all {
		if lot := ofLot(d.Entry); lot != "" {
			lots = append(lots, lot)
		}
		for _, code := range names(d.Entry) {
			b, err := stockdb.Bundle(v.ctx, v.tx, v.site, code)
			if ignoreMissing(err) != nil {
				return nil, err
			}
			if err == nil {
				lots = append(lots, b.Lot)
			}
		}
	}
	return lots, nil
}
