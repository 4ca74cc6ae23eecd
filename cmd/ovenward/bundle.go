package main

import (
	"context"
	"fmt"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
)

// bundleAnswer is what was done to a bundle and how it stands after it, for a
// program.
type bundleAnswer struct {
	act
	stockAnswer
}

// printBundle says how a bundle stands after something was done with it. A dry
// run has changed nothing, and the bundle may not even be there: then it only
// says what would have been done.
func (e *env) printBundle(ctx context.Context, done app.Done, code, verb string) error {
	a := e.acted(done, verb, code)
	if e.dry {
		return e.tell(a, "%-8s %s", strings.ToUpper(verb), code)
	}
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	s, err := p.standing(ctx, done, code)
	if err != nil {
		return err
	}
	if p.Format != show.AsTable {
		t := show.Table{Head: []string{"done", "bundle", "state", "class", "amount", "lot", "place", "why", "fact"}}
		t.Add(a.Done, s.Bundle, s.State, s.Class+" "+s.Size, s.amount(), s.Lot, s.where(), s.Why, a.Fact)
		return p.Answer(bundleAnswer{a, s}, t)
	}
	amount := s.amount()
	if s.Mass == "" {
		amount = inventory.Rods(s.Pieces)
	}
	if err := p.Line("%-8s %s  %s, %s, lot %s, in %s", strings.ToUpper(verb), s.Bundle, strings.TrimSpace(s.Class+" "+s.Size), amount, s.Lot, s.where()); err != nil {
		return err
	}
	if s.Pieces == 0 && s.Mass == "" {
		return p.Line("%-8s nothing is left of it", "now")
	}
	return p.Line("%-8s %s (%s)", "now", s.State, s.Why)
}

// standing is how a bundle stands at the instant of a fact.
func (s screen) standing(ctx context.Context, done app.Done, code string) (stockAnswer, error) {
	l, err := s.app.At(ctx, code, done.Fact.At, "")
	if err != nil {
		return stockAnswer{}, err
	}
	return stockLine(l, done.Fact.At, s.zone), nil
}

// amount is the number of rods, or the mass of wire or flux.
func (s stockAnswer) amount() string {
	if s.Mass != "" {
		return s.Mass
	}
	return fmt.Sprint(s.Pieces)
}
