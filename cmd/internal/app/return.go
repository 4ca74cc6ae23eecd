package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/storage/exposure"
)

// returned decides what becomes of rods that came back.
func (d *desk) returned(e *inventory.Returned) error {
	s, err := d.slip(e.Slip)
	if err != nil {
		return err
	}
	e.Slip = s.Code
	rods, err := d.outOn(s, e)
	if err != nil {
		return err
	}
	if err := d.afterIssue(s); err != nil {
		return err
	}
	if e.Bundle = rods.Code; rods.Code == s.Code {
		e.Bundle = ""
	}
	if err := d.balance(s, rods, e); err != nil {
		return err
	}
	return d.takeBack(s, rods, e)
}

func (d *desk) afterIssue(s inventory.Slip) error {
	if d.at >= s.At {
		return nil
	}
	return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: s.Code, Value: d.at.In(d.zone), Limit: s.At.In(d.zone),
		Why:  fmt.Sprintf("back at %s, before it went out at %s", d.at.In(d.zone), s.At.In(d.zone)),
		Next: "check both times; correct the issue if that one is wrong"}
}

func (d *desk) balance(s inventory.Slip, rods inventory.Bundle, e *inventory.Returned) error {
	back, err := e.Balance()
	if err != nil {
		return err
	}
	if back.UnusedMass.Near(rods.Mass) && e.UnusedMass != "" {
		back.UnusedMass, e.UnusedMass = rods.Mass, rods.Mass.Exact()
	}
	if err := back.Check(s.Code, rods.Pieces, rods.Mass); err != nil {
		return err
	}
	if n := back.Unaccounted(rods.Pieces); e.Stubs > 0 && n > 0 {
		d.warn("%d used rods without a stub: %d out, %d unused, %d stubs", n, rods.Pieces, e.Unused, e.Stubs)
	}
	return nil
}

// takeBack puts the unused rods somewhere, judges them there and lists the
// joints that rods past their limit may have gone into.
func (d *desk) takeBack(s inventory.Slip, rods inventory.Bundle, e *inventory.Returned) error {
	set, err := d.setByID(s.Rules)
	if err != nil {
		return err
	}
	if err := d.trained(set); err != nil {
		return err
	}
	h, err := d.history(rods)
	if err != nil {
		return err
	}
	out, err := d.judge(set, rods, h, false)
	if err != nil {
		return err
	}
	l, err := d.lot(rods.Lot)
	if err != nil {
		return err
	}
	if d.advice, err = d.takenUp(l, out); err != nil {
		return err
	}
	touched := d.pastLimit(s, out)
	if e.Unused == 0 && e.UnusedMass == "" {
		e.Into, e.As = "", ""
		e.Judged = record(out)
		e.Judged.Joints = touched
		return nil
	}
	return d.putBack(s, rods, e, h, touched)
}

func (d *desk) putBack(s inventory.Slip, rods inventory.Bundle, e *inventory.Returned, h *inventory.History, touched []string) error {
	into, err := d.backInto(e)
	if err != nil {
		return err
	}
	l, err := d.lot(rods.Lot)
	if err != nil {
		return err
	}
	if err := d.stows(l, rods, stow{into, e.Rack, e.Layers}); err != nil {
		return err
	}
	if e.As, err = d.assign('B', e.As); err != nil {
		return err
	}
	set, err := d.setByID(s.Rules)
	if err != nil {
		return err
	}
	back := &inventory.History{Bundle: e.As, Tight: h.Tight, Born: d.at,
		Origins: []inventory.Origin{{History: h, Until: d.at}},
		Stays:   []inventory.Stay{{Place: into, From: d.at, Returned: true}}}
	if e.Wet {
		back.Events = []inventory.Event{{At: d.at, Kind: inventory.GotWet}}
	}
	j, err := d.judge(set, rods, back, false)
	if err != nil {
		return err
	}
	e.Judged = record(j)
	e.Judged.Joints = touched
	if (j.Verdict == inventory.Bake || j.Verdict == inventory.Discard) && into.Kind == inventory.HoldingOven {
		d.warn("keep them apart and marked in %s: they must not go out again as they are", into.Name)
	}
	return nil
}

func (d *desk) backInto(e *inventory.Returned) (inventory.Place, error) {
	if e.Into == "" {
		if !e.Wet {
			return inventory.Place{}, &inventory.Refusal{Code: inventory.Unknown, Subject: "into",
				Why: "what is unused goes somewhere", Next: "say where with --into, such as --into H1"}
		}
		e.Into = inventory.Store // wet rods only wait to be scrapped
	}
	return d.place(e.Into)
}

// pastLimit returns the joints of a slip whose rods were out past their limit:
// use after it cannot be excluded.
func (d *desk) pastLimit(s inventory.Slip, out exposure.Judgement) []string {
	if out.Due == 0 || d.at <= out.Due {
		return nil
	}
	noun := "rods"
	if l, err := d.lot(s.Lot); err == nil {
		noun = l.Noun()
	}
	if len(s.Joints) == 0 {
		d.warn("back %s past the limit and no joint is named on the slip: QA must find where its %s went", d.at.Sub(out.Due).Words(), noun)
		return nil
	}
	d.warn("back %s past the limit: %s may have been used past it in %s; QA is to look at them",
		d.at.Sub(out.Due).Words(), noun, list(s.Joints))
	return s.Joints
}

func list(names []string) string {
	out := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			out += " and "
		default:
			out += ", "
		}
		out += n
	}
	return out
}
