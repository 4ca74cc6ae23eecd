package demo

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// The people of the shop, all invented.
const (
	ines  = "Ines"  // at the window
	tomas = "Tomas" // at the window, evenings
	ruth  = "Ruth"  // QA
	oskar = "Oskar" // QA
	pia   = "Pia"   // purchasing
)

// staff says who may do what from an instant on. The first is QA, who sets the
// others up.
func (s *shop) staff(at measure.Instant) {
	for _, p := range []struct {
		badge string
		role  inventory.Role
	}{
		{ruth, inventory.QA}, {oskar, inventory.QA}, {ines, inventory.Attendant}, {tomas, inventory.Attendant}, {pia, inventory.Purchasing},
		{"W3", inventory.Welder}, {"W7", inventory.Welder}, {"W9", inventory.Welder}, {"W12", inventory.Welder},
	} {
		s.do(at, ruth, &inventory.PersonSet{Person: p.badge, Roles: []inventory.Role{p.role}})
	}
}
