package main

import (
	"context"
	"fmt"
	"strings"

	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

// printBundle says how a bundle stands after something was done with it.
func (e *env) printBundle(ctx context.Context, code string, at measure.Instant, done string) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	zone, err := a.Zone(ctx)
	if err != nil {
		return err
	}
	l, err := a.At(ctx, code, at, "")
	if err != nil {
		return err
	}
	s := stockLine(l, at, zone)
	amount := fmt.Sprintf("%d rods", s.Pieces)
	if s.Mass != "" {
		amount = s.Mass
	}
	if p.Format != show.AsTable {
		t := show.Table{Head: []string{"bundle", "state", "class", "amount", "lot", "place", "why"}}
		t.Add(s.Bundle, s.State, s.Class+" "+s.Size, amount, s.Lot, s.Place, s.Why)
		return p.Answer(s, t)
	}
	if err := p.Line("%-8s %s  %s %s, %s, lot %s, in %s", done, s.Bundle, s.Class, s.Size, amount, s.Lot, s.Place); err != nil {
		return err
	}
	return p.Line("%-8s %s (%s)", "now", strings.TrimSpace(s.State), s.Why)
}
