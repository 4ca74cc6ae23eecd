package app

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// RemarksOn returns what was seen, by an instant, of a bundle and of the bundles
// and slips that its rods were before, oldest first. A zero at is now.
func (a *App) RemarksOn(ctx context.Context, code string, at measure.Instant) (list []stockdb.Remark, err error) {
	err = a.read(ctx, at, func(v *view) error {
		b, err := v.bundle(code)
		if err != nil {
			return err
		}
		before := map[string]inventory.Bundle{}
		if err := v.walk(b.Code, v.parents, before); err != nil {
			return err
		}
		lots := map[string]bool{}
		for _, b := range before {
			lots[b.Lot] = true
		}
		list, err = v.remarks(slices.Collect(maps.Keys(lots)), func(r stockdb.Remark) bool {
			_, one := before[cmp.Or(r.Bundle, r.Slip)]
			return one && r.At <= v.at
		})
		return err
	})
	return list, err
}

// remarks returns what was seen of some lots, of the rods for which keep holds,
// oldest first.
func (v *view) remarks(lots []string, keep func(r stockdb.Remark) bool) ([]stockdb.Remark, error) {
	var all []stockdb.Remark
	for _, lot := range slices.Sorted(slices.Values(lots)) {
		list, err := stockdb.RemarksOfLot(v.ctx, v.tx, v.site, lot)
		if err != nil {
			return nil, err
		}
		for _, r := range list {
			if keep(r) {
				all = append(all, r)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b stockdb.Remark) int { return cmp.Compare(a.At, b.At) })
	return all, nil
}

// addRemarks adds what was seen: of every rod of the lots where a lot was asked
// for, else of the rods that the trace follows, back to their packages.
func (v *view) addRemarks(t *Trace) (err error) {
	lots := make([]string, len(t.Lots))
	for i, l := range t.Lots {
		lots[i] = l.Code
	}
	followed := map[string]bool{}
	for _, b := range t.Bundles {
		followed[b.Code] = true
	}
	for _, s := range t.Slips {
		followed[s.Slip.Code] = true
		for _, code := range s.Came {
			followed[code] = true
		}
	}
	t.Remarks, err = v.remarks(lots, func(r stockdb.Remark) bool { return t.Of == "lot" || followed[cmp.Or(r.Bundle, r.Slip)] })
	return err
}
