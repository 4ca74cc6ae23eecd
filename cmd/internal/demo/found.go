package demo

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// product is what the shop welds with.
type product struct {
	name, class, size, length, pack string
	pieces                          inventory.Count
	net                             string
}

var (
	eighth     = product{"e7018-1/8", "E7018-1 H4R", "1/8 in", "14 in", "hermetic can", 150, "10 lb"}
	fiveThirty = product{"e7018-5/32", "E7018", "5/32 in", "14 in", "hermetic can", 95, "10 lb"}
	lowAlloy   = product{"e8018", "E8018-C3", "1/8 in", "14 in", "hermetic can", 145, "10 lb"}
	cellulose  = product{"e6010", "E6010", "1/8 in", "14 in", "carton", 200, ""}
	boxed      = product{"e7018-box", "E7018", "3/32 in", "14 in", "carton", 240, "10 lb"}
)

// found sets the shop up: the site, its rule set, its ovens and its first
// deliveries.
func (s *shop) found() {
	at := s.now.Add(-shift - (days+1)*measure.Day)
	s.do(at, ruth, &inventory.SiteSet{Zone: Zone, Units: "US"})
	s.staff(at)
	set, err := rules.Shipped("structural-2015-a")
	if err != nil {
		s.err = err
		return
	}
	var confirmed []string
	for _, m := range set.Unconfirmed() {
		confirmed = append(confirmed, m.Row)
	}
	s.do(at, ruth, &inventory.RulesApproved{ID: set.ID, Text: set.Text, Confirmed: confirmed})
	s.do(at, ruth, &inventory.RulesUsed{Rules: set.ID})
	for _, p := range []inventory.PlaceSet{{Place: "H1", SortKind: "holding oven"}, {Place: "H2", SortKind: "holding oven"},
		{Place: "B1", SortKind: "bake oven"}, {Place: "Q1", SortKind: "quiver"}, {Place: "bench", SortKind: "shelf"}} {
		s.do(at, ruth, &p)
	}
	for _, name := range []string{"H1", "H2", "B1", "Q1"} {
		s.do(at, ruth, &inventory.SensorSet{Sensor: "T-" + name, Place: name})
		s.do(at, ruth, &inventory.Calibrated{Sensor: "T-" + name, Error: "1 F", Due: string(measure.DateOf(s.now, s.zone).AddYears(1))})
	}
	s.deliver(at, "7B21", eighth, 12)
	s.deliver(at, "7C04", fiveThirty, 14)
	s.deliver(at, "8K15", lowAlloy, 8)
	s.deliver(at, "6A90", cellulose, 2)
	s.watchOvens()
}

// secondDelivery is the day from which the month's second order comes in.
const secondDelivery = 13

// secondOrder receives new lots of what is used most.
func (s *shop) secondOrder(at measure.Instant) {
	s.deliver(at, "7B58", eighth, 8)
	s.deliver(at.Add(5*measure.Minute), "7C31", fiveThirty, 12)
	s.deliver(at.Add(10*measure.Minute), "8K40", lowAlloy, 6)
}

// deliver receives packages of a lot and releases it.
func (s *shop) deliver(at measure.Instant, lot string, p product, packages int) {
	at = s.receive(at, lot, p, packages)
	s.do(at, ruth, &inventory.LotReleased{Lot: lot, Note: "certificate and labels compared"})
}

// receive takes packages of a lot in and returns when that was done.
func (s *shop) receive(at measure.Instant, lot string, p product, packages int) measure.Instant {
	made := string(measure.DateOf(at, s.zone).AddDays(-120))
	for range packages {
		e := s.do(at, ines, &inventory.Received{Lot: lot, Class: p.class, Diameter: p.size, Length: p.length, Package: p.pack,
			Pieces: p.pieces, Net: p.net, Made: made, Maker: "Fjordmark", Certificate: "C-" + lot, CertificateKind: "3.1"})
		if r, ok := e.(*inventory.Received); ok {
			s.cans[p.name] = append(s.cans[p.name], r.Bundle)
		}
		at = at.Add(10 * measure.Second) // carried in one by one
	}
	return at
}

// nextCan takes a sealed package off the shelf.
func (s *shop) nextCan(p product) (string, bool) {
	cans := s.cans[p.name]
	if len(cans) == 0 {
		return "", false
	}
	s.cans[p.name] = cans[1:]
	return cans[0], true
}

// The logger's two failures, counted in days from the beginning.
const (
	coldNight   = 9
	silentStart = 17
)

// watchOvens stores what the loggers wrote: every ten minutes, but for a night
// in which H2 lost its power and a weekend in which the logger of H1 was off.
func (s *shop) watchOvens() {
	const every = 10 * measure.Minute
	start := s.now.Add(-shift - (days+1)*measure.Day)
	var list []ovendb.Reading
	add := func(sensor string, at measure.Instant, f int64) {
		list = append(list, ovendb.Reading{Sensor: sensor, At: at, Temp: measure.Fahrenheit(f)})
	}
	for at := start; at <= s.now; at = at.Add(every) {
		if !s.silent(at) {
			add("T-H1", at, int64(s.between(256, 268)))
		}
		add("T-H2", at, s.secondOven(at))
		add("T-Q1", at, int64(s.between(252, 262)))
	}
	s.store(list)
}

func (s *shop) store(list []ovendb.Reading) {
	if s.err != nil {
		return
	}
	if _, err := s.app.AddReadings(s.ctx, list); err != nil {
		s.err = err
	}
}

// begins is the start of the shift n days after the first.
func (s *shop) begins(n int) measure.Instant {
	return s.now.Add(-shift - measure.Duration(days-n)*measure.Day)
}

// silent reports whether the logger of H1 was off.
func (s *shop) silent(at measure.Instant) bool {
	from := s.begins(silentStart).Add(11 * measure.Hour)
	return at > from && at < from.Add(38*measure.Hour)
}

// secondOven is what H2 showed: 258 °F and a little, but for the night without
// power.
func (s *shop) secondOven(at measure.Instant) int64 {
	from := s.begins(coldNight).Add(14 * measure.Hour)
	since := at.Sub(from)
	switch {
	case since < 0 || since > 7*measure.Hour:
		return int64(s.between(254, 266))
	case since < 5*measure.Hour:
		return max(95, 255-int64(since/measure.Minute)) // a degree a minute
	}
	return min(258, 95+2*int64((since-5*measure.Hour)/measure.Minute))
}
