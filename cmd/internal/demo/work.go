package demo

import (
	"fmt"
	"slices"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// day plans an ordinary working day, and whatever went wrong on it.
func (s *shop) day(begin measure.Instant, n int) {
	weekday := begin.Time().In(s.zone).Weekday()
	working := weekday != time.Sunday && weekday != time.Saturday
	s.trouble(begin, n, working)
	if !working {
		return
	}
	if n >= secondDelivery && !s.ordered {
		s.ordered = true
		s.diary.add(begin.Add(-40*measure.Minute), func() { s.secondOrder(begin.Add(-40 * measure.Minute)) })
	}
	s.diary.add(begin.Add(-30*measure.Minute), func() { s.tidy(begin.Add(-30 * measure.Minute)) })
	s.diary.add(begin.Add(-20*measure.Minute), func() { s.stockOvens(begin.Add(-20 * measure.Minute)) })
	for i, w := range []string{"W3", "W7", "W12"} {
		p := eighth
		if i == 1 {
			p = fiveThirty
		}
		for half := range 2 {
			out := begin.Add(measure.Duration(half)*285*measure.Minute + measure.Duration(5+4*i)*measure.Minute)
			s.turn(out, w, p, s.between(20, 34), measure.Duration(s.between(150, 225))*measure.Minute)
		}
	}
	for turn := range 3 {
		out := begin.Add(measure.Duration(turn)*170*measure.Minute + 18*measure.Minute)
		s.turn(out, "W9", lowAlloy, s.between(8, 14), measure.Duration(s.between(70, 112))*measure.Minute)
	}
}

// turn plans one issue and its return.
func (s *shop) turn(out measure.Instant, welder string, p product, rods int, stay measure.Duration) {
	s.diary.add(out, func() {
		joint := s.nextJoint()
		slip := s.hand(out, welder, p, rods, joint)
		if slip == "" {
			return
		}
		back := out.Add(stay)
		s.diary.add(back, func() { s.takeBack(back, slip, rods, s.between(0, rods/3), 0) })
	})
}

func (s *shop) nextJoint() string {
	s.joint++
	return fmt.Sprintf("J-%d", s.joint)
}

// hand gives rods out and returns the slip, opening a can when there are none.
func (s *shop) hand(at measure.Instant, welder string, p product, rods int, joints ...string) string {
	ask := &inventory.Issued{Class: baseClass(p), Diameter: p.size, Pieces: inventory.Count(rods), Welder: welder, Joints: joints}
	e, ok := s.try(at, ines, ask)
	if !ok {
		s.openCan(at, p, "H1")
		again := *ask
		if e, ok = s.try(at, ines, &again); !ok {
			return ""
		}
	}
	return s.given(at, p, e.(*inventory.Issued))
}

// given puts a can that was opened for an issue into the oven, and returns the
// slip.
func (s *shop) given(at measure.Instant, p product, e *inventory.Issued) string {
	if s.err == nil && e.Judged.Opened {
		s.cans[p.name] = slices.DeleteFunc(s.cans[p.name], func(c string) bool { return c == e.Bundle })
		s.try(at.Add(2*measure.Minute), ines, &inventory.Moved{Bundle: e.Bundle, Into: "H1"})
	}
	return e.Slip
}

// baseClass is the class as a welder asks for it, without the further marks.
func baseClass(p product) string {
	if p.class == eighth.class {
		return "E7018"
	}
	return p.class
}

// takeBack closes a slip; what was used left a stub, but for the missing.
func (s *shop) takeBack(at measure.Instant, slip string, rods, unused, missing int) string {
	if slip == "" {
		return "" // nothing was to be had
	}
	stubs := max(0, rods-unused-missing)
	e := s.do(at, ines, &inventory.Returned{Slip: slip, Unused: inventory.Count(unused), Stubs: inventory.Count(stubs), Into: "H2"})
	if r, ok := e.(*inventory.Returned); ok {
		return r.As
	}
	return ""
}

// stockOvens opens cans until each product has enough ready for the morning.
func (s *shop) stockOvens(at measure.Instant) {
	stock := s.stock(at)
	for _, want := range []struct {
		p    product
		rods int64
	}{{eighth, 130}, {fiveThirty, 70}, {lowAlloy, 45}} {
		var have int64
		for _, l := range stock {
			if l.Judgement.Verdict == inventory.Ready && l.Lot.Size == want.p.size && l.Lot.Mark.Canonical == want.p.class {
				have += l.Bundle.Pieces
			}
		}
		for have < want.rods && s.openCan(at, want.p, "H1") {
			have += int64(want.p.pieces)
		}
	}
}

func (s *shop) openCan(at measure.Instant, p product, into string) bool {
	can, ok := s.nextCan(p)
	if ok {
		s.do(at, ines, &inventory.Opened{Bundle: can, Into: into})
	}
	return ok
}
