package app

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
)

// fill judges each slip of a trace and lists what the records do not say.
func (v *view) fill(t *Trace, slips []inventory.Slip) error {
	for _, s := range slips {
		if err := v.addOrigins(t, s.Lot); err != nil {
			return err
		}
		ts, err := v.traced(s)
		if err != nil {
			return err
		}
		t.Slips = append(t.Slips, ts)
		t.Unknown = append(t.Unknown, openQuestions(ts)...)
	}
	for _, b := range t.Bundles {
		if err := v.addOrigins(t, b.Lot); err != nil {
			return err
		}
	}
	if err := v.addBlends(t); err != nil {
		return err
	}
	if err := v.addDoubts(t); err != nil {
		return err
	}
	return v.addRemarks(t)
}

// addOrigins adds a lot, and where it is a blend every lot that is in it.
func (v *view) addOrigins(t *Trace, code string) error {
	made, err := v.madeOf(code)
	if err != nil {
		return err
	}
	for _, lot := range append([]string{code}, made...) {
		if err := v.addLot(t, lot); err != nil {
			return err
		}
	}
	return nil
}

// addBlends adds what the lots of a trace were blended of.
func (v *view) addBlends(t *Trace) error {
	for _, l := range t.Lots {
		inputs, err := stockdb.Inputs(v.ctx, v.tx, v.site, l.Code)
		if err != nil {
			return err
		}
		t.Blends = append(t.Blends, inputs...)
	}
	slices.SortStableFunc(t.Blends, func(a, b stockdb.Input) int { return cmp.Compare(a.At, b.At) })
	return nil
}

func (v *view) addLot(t *Trace, code string) error {
	if slices.ContainsFunc(t.Lots, func(l inventory.Lot) bool { return l.Code == code }) {
		return nil
	}
	l, err := v.lot(code)
	t.Lots = append(t.Lots, l)
	return err
}

// traced judges the rods of a slip as they went out and as they came back.
func (v *view) traced(s inventory.Slip) (TracedSlip, error) {
	ts := TracedSlip{Slip: s, Rules: s.Rules}
	source, err := stockdb.Bundle(v.ctx, v.tx, v.site, s.Bundle)
	if err != nil {
		return ts, err
	}
	set, err := v.setByID(s.Rules)
	if err != nil {
		return ts, err
	}
	then := *v
	then.at = s.At
	if ts.WentOut, err = then.judged(set, source); err != nil {
		return ts, err
	}
	l, err := v.slipLook(s)
	if err != nil {
		return ts, err
	}
	ts.WentBack = l.Judgement
	if l.Overdue != 0 {
		ts.Late = l.Judgement.At.Sub(l.Overdue)
	}
	if ts.Flags, err = stockdb.Flags(v.ctx, v.tx, v.site, s.Code); err != nil {
		return ts, err
	}
	if ts.Short, err = v.short(s); err != nil {
		return ts, err
	}
	before := map[string]inventory.Bundle{}
	if err := v.walk(s.Bundle, v.parents, before); err != nil {
		return ts, err
	}
	for code := range before {
		ts.Came = append(ts.Came, code)
	}
	slices.SortFunc(ts.Came, func(a, b string) int { return byBirth(before[a], before[b]) })
	return ts, nil
}

// openQuestions lists what a slip leaves open: rods that were not returned, a
// slip without a joint, rods that came back too late.
func openQuestions(t TracedSlip) []string {
	var out []string
	s := t.Slip
	say := func(format string, args ...any) {
		out = append(out, fmt.Sprintf("slip %s, welder %s: ", s.Code, s.Welder)+fmt.Sprintf(format, args...))
	}
	if len(s.Joints) == 0 {
		say("no joint is named")
	}
	for _, f := range t.Flags {
		say("went out against a rule: %s", f.Why)
	}
	for _, short := range t.Short {
		say("%s", short)
	}
	switch n := s.Back.Unaccounted(s.Pieces); {
	case s.Closed == 0 && s.Pieces > 0:
		say("still out: %s", inventory.Rods(s.Pieces))
	case n > 0:
		say("nothing came back of %s, not even a stub", inventory.Rods(n))
	}
	if s.Back.Unidentified > 0 {
		say("%s came back without a readable mark", inventory.Rods(s.Back.Unidentified))
	}
	if t.Late > 0 {
		say("out %s past the limit; use in that time cannot be excluded", t.Late.Words())
	}
	return out
}
