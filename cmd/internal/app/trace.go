package app

import (
	"context"
	"errors"
	"maps"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/storage/exposure"
)

// Trace is where rods came from and where they went: forward from a lot,
// backward from a joint, both ways from a bundle or a slip.
type Trace struct {
	Of      string // what was asked for: "lot", "bundle", "slip" or "joint"
	Code    string
	Lots    []inventory.Lot
	Bundles []inventory.Bundle
	Slips   []TracedSlip
	Losses  []stockdb.Loss
	Blends  []stockdb.Input // flux of several lots that was mixed, oldest first
	Remarks []stockdb.Remark
	Doubts  []Mark   // bundles and slips that were judged by a sensor that was found wrong
	Unknown []string // what the records do not say
}

// TracedSlip is a slip with what its rods were worth when they went out and
// when the last of them came back.
type TracedSlip struct {
	Slip     inventory.Slip
	Came     []string           // the bundles its rods were before, back to the package
	WentOut  exposure.Judgement // of the bundle they were taken from
	WentBack exposure.Judgement // of the rods at their return, or now
	Rules    string
	Late     measure.Duration // how long past the limit they came back; zero: in time
	Flags    []inventory.Flag // rules that only warned when they went out
	Short    []string         // what their lot is short of for the joints, as both are known now
}

// Unaccounted is how many rods neither came back nor left a stub, those that are
// still out among them.
func (t Trace) Unaccounted() int64 {
	var n int64
	for _, s := range t.Slips {
		n += s.Slip.Back.Unaccounted(s.Slip.Pieces)
	}
	return n
}

// Trace follows a lot, a bundle, a slip or a joint both ways. A name that is
// several of these is looked for in that order.
func (a *App) Trace(ctx context.Context, code string) (t Trace, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		t, err = v.trace(code)
		return err
	})
	return t, err
}

func (v *view) trace(name string) (Trace, error) {
	code, err := inventory.ParseCode(name)
	if err != nil {
		return Trace{}, err
	}
	t := Trace{Code: code}
	find := []struct {
		of  string
		get func() ([]inventory.Slip, error)
	}{
		{"lot", func() ([]inventory.Slip, error) { return v.traceLot(&t) }},
		{"slip", func() ([]inventory.Slip, error) { return v.traceSlip(&t) }},
		{"bundle", func() ([]inventory.Slip, error) { return v.traceBundle(&t) }},
		{"joint", func() ([]inventory.Slip, error) { return v.traceJoint(&t) }},
	}
	for _, f := range find {
		slips, err := f.get()
		if errors.Is(err, db.ErrNotFound) {
			continue
		}
		if err != nil {
			return Trace{}, err
		}
		t.Of = f.of
		return t, v.fill(&t, slips)
	}
	return Trace{}, &inventory.Refusal{Code: inventory.Unknown, Subject: name, Value: name,
		Why: "no lot, bundle, slip or joint has that name here", Next: "scan the label again; joints are known once a slip names them"}
}

func (v *view) traceLot(t *Trace) ([]inventory.Slip, error) {
	l, err := stockdb.Lot(v.ctx, v.tx, v.site, t.Code)
	if err != nil {
		return nil, err
	}
	t.Lots = []inventory.Lot{l}
	blends, err := v.wentInto(l.Code)
	if err != nil {
		return nil, err
	}
	var slips []inventory.Slip
	for _, code := range append([]string{l.Code}, blends...) {
		more, err := v.traceOneLot(t, code)
		if err != nil {
			return nil, err
		}
		slips = append(slips, more...)
	}
	return slips, v.addOrigins(t, l.Code)
}

// traceOneLot adds what became of a lot's own bundles.
func (v *view) traceOneLot(t *Trace, code string) ([]inventory.Slip, error) {
	own, err := stockdb.LotBundles(v.ctx, v.tx, v.site, code)
	if err != nil {
		return nil, err
	}
	lost, err := stockdb.Losses(v.ctx, v.tx, v.site, code)
	if err != nil {
		return nil, err
	}
	t.Bundles, t.Losses = append(t.Bundles, own...), append(t.Losses, lost...)
	return stockdb.LotSlips(v.ctx, v.tx, v.site, code)
}

func (v *view) traceSlip(t *Trace) ([]inventory.Slip, error) {
	s, err := stockdb.Slip(v.ctx, v.tx, v.site, t.Code)
	if err != nil {
		return nil, err
	}
	if t.Bundles, err = v.family(s.Code); err != nil {
		return nil, err
	}
	return []inventory.Slip{s}, v.addLosses(t, s.Lot)
}

// traceBundle follows a bundle's rods back to the package and on to every slip
// they went out on.
func (v *view) traceBundle(t *Trace) ([]inventory.Slip, error) {
	b, err := stockdb.Bundle(v.ctx, v.tx, v.site, t.Code)
	if err != nil {
		return nil, err
	}
	if t.Bundles, err = v.family(b.Code); err != nil {
		return nil, err
	}
	blends, err := v.wentInto(b.Lot)
	if err != nil {
		return nil, err
	}
	lots := append([]string{b.Lot}, blends...)
	if err := v.addLosses(t, lots...); err != nil {
		return nil, err
	}
	var all []inventory.Slip
	for _, lot := range lots {
		slips, err := stockdb.LotSlips(v.ctx, v.tx, v.site, lot)
		if err != nil {
			return nil, err
		}
		all = append(all, slips...)
	}
	return slices.DeleteFunc(all, func(s inventory.Slip) bool {
		return !slices.ContainsFunc(t.Bundles, func(b inventory.Bundle) bool { return b.Code == s.Code })
	}), nil
}

// addLosses adds what was lost of the bundles of a trace.
func (v *view) addLosses(t *Trace, lots ...string) error {
	for _, lot := range lots {
		lost, err := stockdb.Losses(v.ctx, v.tx, v.site, lot)
		if err != nil {
			return err
		}
		for _, l := range lost {
			if slices.ContainsFunc(t.Bundles, func(b inventory.Bundle) bool { return b.Code == l.Bundle }) {
				t.Losses = append(t.Losses, l)
			}
		}
	}
	return nil
}

func (v *view) traceJoint(t *Trace) ([]inventory.Slip, error) {
	slips, err := stockdb.JointSlips(v.ctx, v.tx, v.site, t.Code)
	if err == nil && len(slips) == 0 {
		err = db.ErrNotFound
	}
	return slips, err
}

// family returns a bundle with all that its rods were before and became after,
// in the order in which they came to be.
func (v *view) family(code string) ([]inventory.Bundle, error) {
	all := map[string]inventory.Bundle{}
	for _, next := range []func(string) ([]string, error){v.parents, v.children} {
		seen := map[string]inventory.Bundle{}
		if err := v.walk(code, next, seen); err != nil {
			return nil, err
		}
		maps.Copy(all, seen)
	}
	out := make([]inventory.Bundle, 0, len(all))
	for _, b := range all {
		out = append(out, b)
	}
	slices.SortFunc(out, byBirth)
	return out, nil
}

func (v *view) walk(code string, next func(string) ([]string, error), seen map[string]inventory.Bundle) error {
	if _, ok := seen[code]; ok {
		return nil
	}
	b, err := stockdb.Bundle(v.ctx, v.tx, v.site, code)
	if err != nil {
		return err
	}
	seen[code] = b
	more, err := next(code)
	if err != nil {
		return err
	}
	for _, m := range more {
		if err := v.walk(m, next, seen); err != nil {
			return err
		}
	}
	return nil
}

func (v *view) parents(code string) ([]string, error) {
	return stockdb.Parents(v.ctx, v.tx, v.site, code)
}

func (v *view) children(code string) ([]string, error) {
	return stockdb.Children(v.ctx, v.tx, v.site, code)
}

func byBirth(a, b inventory.Bundle) int {
	switch {
	case a.Born != b.Born:
		return int(min(1, max(-1, a.Born-b.Born)))
	case a.Code < b.Code:
		return -1
	}
	return 1
}
