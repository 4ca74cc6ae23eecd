package demo

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// today is the shift that is under way: one slip overdue, one nearly, one with
// time in hand, one in a hot quiver, and rods in hold.
func (s *shop) today(begin measure.Instant) {
	s.diary.add(begin.Add(-20*measure.Minute), func() { s.tidy(begin.Add(-20 * measure.Minute)) })
	open := begin.Add(-10 * measure.Minute)
	s.diary.add(open, func() { s.stockOvens(open) })
	for _, t := range []struct {
		ago    measure.Duration
		welder string
		p      product
		rods   int
		holder string
	}{
		{205 * measure.Minute, "W7", fiveThirty, 24, ""},
		{145 * measure.Minute, "W9", lowAlloy, 12, ""},
		{80 * measure.Minute, "W3", eighth, 30, ""},
		{65 * measure.Minute, "W12", eighth, 25, "Q1"},
	} {
		at := s.now.Add(-t.ago)
		s.diary.add(at, func() {
			e, ok := s.try(at, ines, &inventory.Issued{Class: baseClass(t.p), Diameter: t.p.size, Pieces: inventory.Count(t.rods),
				Welder: t.welder, Holder: t.holder, Joints: []string{s.nextJoint()}})
			if ok {
				s.given(at, t.p, e.(*inventory.Issued))
			}
		})
	}
	out := s.now.Add(-4 * measure.Hour)
	s.diary.add(out, func() {
		slip := s.hand(out, "W3", eighth, 22, s.nextJoint())
		back := s.now.Add(-70 * measure.Minute)
		s.diary.add(back, func() { s.takeBack(back, slip, 22, 9, 0) })
	})
	s.doorOpen(s.now.Add(-55 * measure.Minute))
	s.earlyIssue(s.now.Add(-40 * measure.Minute))
}
