package demo

import (
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ovendb"
)

// mishap is something that went wrong on the first working day from a day on,
// counted from the beginning.
type mishap struct {
	from int
	plan func(begin measure.Instant)
}

// mishaps are what goes wrong at the window; what goes wrong with the ovens has
// days of its own.
func (s *shop) mishaps() []mishap {
	return []mishap{{1, s.noSeal}, {3, s.lateBack}, {5, s.rain}, {7, s.paperSlips}, {12, s.wrongPlaces},
		{14, s.mistyped}, {20, s.leftOnBench}, {22, s.badLot}, {24, s.miscount}}
}

// trouble plans what went wrong n days after the beginning, one thing a day.
func (s *shop) trouble(begin measure.Instant, n int, working bool) {
	switch n {
	case coldNight:
		s.coldOven(begin)
	case silentStart:
		s.silentLogger(begin)
	}
	if working && len(s.ahead) > 0 && s.ahead[0].from <= n {
		s.ahead[0].plan(begin)
		s.ahead = s.ahead[1:]
	}
}

// noSeal: a box without a tight seal is baked before anything of it goes out.
func (s *shop) noSeal(begin measure.Instant) {
	at := begin.Add(30 * measure.Minute)
	s.diary.add(at, func() {
		s.deliver(at, "5Q33", boxed, 1)
		box := s.cans[boxed.name][0]
		s.try(at.Add(measure.Minute), ines, &inventory.Issued{Bundle: box, Pieces: 20, Welder: "W3"})
		s.bakeRun(at.Add(10*measure.Minute), box)
		s.tell(at, "a carton came without a tight seal: %s was refused until it was baked", box)
	})
}

// bakeRun dries a bundle at 700 °F: half an hour below half of it, up, two
// hours and a quarter at it, then into H1.
func (s *shop) bakeRun(at measure.Instant, bundle string) {
	s.do(at, ines, &inventory.Baked{Bundle: bundle, Place: "B1", Set: "700 F", Layers: 2})
	var list []ovendb.Reading
	for m := measure.Duration(0); m <= 220; m += 5 {
		t := int64(300)
		switch {
		case m >= 75:
			t = 712
		case m > 40:
			t = 300 + int64(m-40)*11
		}
		list = append(list, ovendb.Reading{Sensor: "T-B1", At: at.Add(m * measure.Minute), Temp: measure.Fahrenheit(t)})
	}
	s.store(list)
	end := at.Add(220 * measure.Minute)
	s.diary.add(end, func() { s.do(end, ines, &inventory.Moved{Bundle: bundle, Into: "H1"}) })
}

// lateBack: rods came back half an hour past their limit; they are baked, and
// the joint goes to QA.
func (s *shop) lateBack(begin measure.Instant) {
	out := begin.Add(40 * measure.Minute)
	s.diary.add(out, func() {
		slip := s.hand(out, "W7", fiveThirty, 30, "J-88")
		back := out.Add(270 * measure.Minute)
		s.diary.add(back, func() {
			b := s.takeBack(back, slip, 30, 12, 0)
			s.tell(back, "slip %s came back 30 min past its limit: %s is to be baked, joint J-88 went to QA", slip, b)
			s.diary.add(back.Add(20*measure.Minute), func() { s.bakeRun(back.Add(20*measure.Minute), b) })
		})
	})
}

// rain: wet rods are scrap whatever their clock says.
func (s *shop) rain(begin measure.Instant) {
	out := begin.Add(70 * measure.Minute)
	s.diary.add(out, func() {
		slip := s.hand(out, "W12", eighth, 20, "J-91")
		back := out.Add(25 * measure.Minute)
		s.diary.add(back, func() {
			e := s.do(back, ines, &inventory.Returned{Slip: slip, Unused: 16, Stubs: 4, Wet: true})
			if r, ok := e.(*inventory.Returned); ok {
				s.do(back.Add(3*measure.Minute), ines, &inventory.Scrapped{Bundle: r.As, Why: "rain"})
				s.tell(back, "rain got into a pouch: 16 rods scrapped after 25 minutes")
			}
		})
	})
}

// paperSlips: the network was down and slips were keyed in later.
func (s *shop) paperSlips(begin measure.Instant) {
	for i, minutes := range []measure.Duration{55, 70, 150} {
		out := begin.Add(minutes * measure.Minute)
		keyed := begin.Add(190*measure.Minute + measure.Duration(2*i)*measure.Minute)
		s.diary.add(keyed, func() {
			e := s.late(out, keyed, tomas, &inventory.Issued{Class: "E7018", Diameter: eighth.size, Pieces: 12, Welder: "W3", Joints: []string{s.nextJoint()}})
			slip := s.given(out, eighth, e.(*inventory.Issued))
			back := out.Add(200 * measure.Minute)
			s.diary.add(max(back, keyed), func() { s.takeBack(max(back, keyed), slip, 12, 2, 0) })
		})
	}
	s.tell(begin.Add(190*measure.Minute), "three paper slips were keyed in after an outage and stand as late")
}

// coldOven: H2 lost its power overnight. What is over its limit the next
// morning is baked or scrapped like everything else.
func (s *shop) coldOven(begin measure.Instant) {
	s.tell(begin.Add(14*measure.Hour), "H2 lost its power in the night and fell to 95 °F: the rods in it went past their limit")
}

// wrongPlaces: what the window refused in one morning.
func (s *shop) wrongPlaces(begin measure.Instant) {
	at := begin.Add(3 * measure.Minute)
	s.diary.add(at, func() {
		s.try(at, tomas, &inventory.Moved{Bundle: s.cans[cellulose.name][0], Into: "H1"})
		s.try(at, tomas, &inventory.Issued{Class: "E7018", Diameter: eighth.size, Pieces: 900, Welder: "W3"})
		s.try(at, tomas, &inventory.Issued{Bundle: s.cans[lowAlloy.name][0], Class: "E7018", Diameter: eighth.size, Pieces: 5, Welder: "W3"})
		s.tell(at, "E6010 was kept out of the holding oven, 900 rods on one slip and the wrong class were refused")
	})
}

// mistyped: an issue was entered with yesterday's date and put right.
func (s *shop) mistyped(begin measure.Instant) {
	out := begin.Add(50 * measure.Minute)
	s.diary.add(out, func() {
		typed := out.Add(-measure.Day)
		e := s.late(typed, out, tomas, &inventory.Issued{Class: "E7018", Diameter: eighth.size, Pieces: 15, Welder: "W7", Joints: []string{s.nextJoint()}})
		slip := e.(*inventory.Issued).Slip
		s.correctLast(out.Add(6*measure.Minute), out, "yesterday's date was typed")
		s.given(out.Add(6*measure.Minute), eighth, e.(*inventory.Issued))
		back := out.Add(180 * measure.Minute)
		s.diary.add(back, func() { s.takeBack(back, slip, 15, 3, 0) })
		s.tell(out, "slip %s was entered with yesterday's date; the correction and the first entry both stand", slip)
	})
}

// correctLast gives the newest fact another time.
func (s *shop) correctLast(at, when measure.Instant, reason string) {
	if s.err != nil {
		return
	}
	s.clock = max(s.clock, at)
	newest, err := s.app.Facts(s.ctx, 1)
	if err == nil {
		_, err = s.app.Correct(s.ctx, app.Correction{Fact: newest[0].ID, Reason: reason, By: ines, At: when})
	}
	if err != nil {
		s.err = err
	}
}

// silentLogger: no reading for a night and a day; QA looks at what it can.
func (s *shop) silentLogger(begin measure.Instant) {
	s.tell(begin.Add(11*measure.Hour), "the logger of H1 was off for 38 hours: its rods went to QA, who baked or released them by name")
	found := begin.Add(50 * measure.Hour)
	s.diary.add(found, func() {
		at := found
		for i, l := range s.stock(found) {
			if l.Judgement.Verdict != inventory.QAHold {
				continue
			}
			at = at.Add(2 * measure.Minute)
			disposition := "release"
			if i%3 == 2 {
				disposition = "bake"
			}
			if s.built.Refused[inventory.SamePerson] == 0 {
				s.try(at, oskar, &inventory.Decision{Bundle: l.Bundle.Code, Disposition: disposition, Proposer: oskar, Why: "meter log of the oven"})
			}
			s.do(at, oskar, &inventory.Decision{Bundle: l.Bundle.Code, Disposition: disposition, Proposer: ruth,
				Why: "the oven's energy meter shows it was on throughout"})
		}
	})
}

// leftOnBench: a can was opened, put down and found the next morning.
func (s *shop) leftOnBench(begin measure.Instant) {
	at := begin.Add(8 * measure.Hour)
	s.diary.add(at, func() {
		can, ok := s.nextCan(fiveThirty)
		if !ok {
			return
		}
		s.do(at, tomas, &inventory.Opened{Bundle: can, Into: "bench"})
		s.built.Bundle = can
		found := begin.Add(23 * measure.Hour)
		s.diary.add(found, func() { s.do(found, ines, &inventory.Moved{Bundle: can, Into: "H1"}) })
		s.tell(at, "can %s was opened, left on the bench and found in the morning", can)
	})
}

// badLot: a lot turned out to have the wrong certificate after some of it was
// welded in.
func (s *shop) badLot(begin measure.Instant) {
	at := begin.Add(10 * measure.Minute)
	s.diary.add(at, func() {
		s.deliver(at, "9X02", lowAlloy, 2)
		can := s.cans[lowAlloy.name][len(s.cans[lowAlloy.name])-1]
		out := at.Add(30 * measure.Minute)
		e := s.do(out, ines, &inventory.Issued{Bundle: can, Pieces: 12, Welder: "W9", Joints: []string{"J-140", "J-141"}})
		second := s.do(out.Add(3*measure.Minute), ines, &inventory.Issued{Bundle: can, Pieces: 10, Welder: "W7"})
		s.do(out.Add(5*measure.Minute), ines, &inventory.Moved{Bundle: can, Into: "H2"})
		back := out.Add(85 * measure.Minute)
		s.diary.add(back, func() {
			s.takeBack(back, e.(*inventory.Issued).Slip, 12, 4, 0)
			s.takeBack(back.Add(measure.Minute), second.(*inventory.Issued).Slip, 10, 2, 3)
		})
		held := begin.Add(7 * measure.Hour)
		s.diary.add(held, func() {
			s.do(held, ruth, &inventory.HeldBack{Lot: "9X02", Why: "certificate is of another heat"})
			s.try(held.Add(measure.Minute), ines, &inventory.Issued{Bundle: can, Pieces: 5, Welder: "W9"})
			s.built.Lot, s.built.Joint = "9X02", "J-140"
			s.tell(held, "lot 9X02 was held: its certificate is of another heat; two joints and one slip without a joint are touched")
		})
	})
}

// miscount: the shelf and the books differed by three rods.
func (s *shop) miscount(begin measure.Instant) {
	at := begin.Add(9 * measure.Hour)
	s.diary.add(at, func() {
		for _, l := range s.stock(at) {
			if l.Judgement.Verdict == inventory.Ready && l.Bundle.Pieces > 10 {
				s.do(at, tomas, &inventory.Counted{Bundle: l.Bundle.Code, Pieces: inventory.Count(l.Bundle.Pieces - 3), Why: "monthly count"})
				s.tell(at, "a count found three rods fewer in %s than the books say", l.Bundle.Code)
				return
			}
		}
	})
}
