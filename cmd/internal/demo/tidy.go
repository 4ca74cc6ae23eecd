package demo

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// fewRods is what is worth putting together with others of its lot.
const fewRods = 60

// tidy is the first half hour of a morning: what is left of a lot and
// ready are put together, what must be baked goes into the bake oven, what must
// not be used is thrown away.
func (s *shop) tidy(at measure.Instant) {
	ready, bake := map[string][]string{}, map[string][]string{}
	var order []string
	for _, l := range s.stock(at) {
		if l.Bundle.Hold != "" || l.Lot.Status != inventory.Released {
			continue
		}
		at = at.Add(10 * measure.Second)
		switch l.Judgement.Verdict {
		case inventory.Discard:
			s.do(at, ines, &inventory.Scrapped{Bundle: l.Bundle.Code, Why: l.Judgement.Why})
		case inventory.Ready:
			if l.Bundle.Pieces < fewRods {
				order = remember(ready, order, l)
			}
		case inventory.Bake:
			if !l.Bundle.Sealed && l.Bundle.Place.Kind == inventory.HoldingOven {
				order = remember(bake, order, l)
			}
		default: // nothing to do with it
		}
	}
	for _, key := range order {
		at = at.Add(10 * measure.Second)
		s.together(at, ready[key])
		if whole := s.together(at.Add(5*measure.Second), bake[key]); whole != "" {
			s.bakeRun(at.Add(measure.Minute), whole)
		}
		delete(ready, key)
		delete(bake, key)
	}
}

// remember sorts a bundle by its lot and place, and apart from rods that were
// baked as often as it was not.
func remember(by map[string][]string, order []string, l app.Look) []string {
	key := fmt.Sprintf("%s %s %d", l.Lot.Code, l.Bundle.Place.Name, l.Judgement.Bakes)
	by[key] = append(by[key], l.Bundle.Code)
	return append(order, key)
}

// together joins bundles and returns the code of what they are now.
func (s *shop) together(at measure.Instant, codes []string) string {
	switch len(codes) {
	case 0:
		return ""
	case 1:
		return codes[0]
	}
	e := s.do(at, ines, &inventory.Joined{Bundles: codes})
	return e.(*inventory.Joined).As
}
