package alarm_test

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// day is the day of every time that is written without one.
const day = "2025-06-05"

var (
	loose = inventory.Place{Name: "open air", Kind: inventory.OpenAir}
	store = inventory.Place{Name: "store", Kind: inventory.Shelf}
	bench = inventory.Place{Name: "bench", Kind: inventory.Shelf}
	h1    = inventory.Place{Name: "H1", Kind: inventory.HoldingOven}
	q1    = inventory.Place{Name: "Q1", Kind: inventory.Quiver}
	b1    = inventory.Place{Name: "B1", Kind: inventory.BakeOven}
)

// zone is the clock that the timelines are written in.
var zone = sync.OnceValue(func() *time.Location {
	z, err := time.LoadLocation("America/Halifax")
	if err != nil {
		panic(err)
	}
	return z
})

// clock reads "07:00", "07:00:01" and "2025-05-09 14:00" on the shop's clock.
func clock(s string) measure.Instant {
	if !strings.Contains(s, " ") {
		s = day + " " + s
	}
	i, err := measure.ParseInstant(s, zone())
	if err != nil {
		panic(err)
	}
	return i
}

func degrees(s string) measure.Temperature {
	d, err := measure.ParseTemperature(s)
	if err != nil {
		panic(err)
	}
	return d
}

func mark(class string) designation.Mark {
	m, err := designation.Parse(class, "")
	if err != nil {
		panic(err)
	}
	return m
}

// ruling is what a shipped set says of a class that came in a hermetic can.
func ruling(t testing.TB, set, class string, changes map[string]string) rules.Ruling {
	t.Helper()
	s, err := rules.Shipped(set)
	if err != nil {
		t.Fatal(err)
	}
	if s, err = s.With(changes); err != nil {
		t.Fatal(err)
	}
	r, err := s.Resolve(rules.Subject{Mark: mark(class), Package: inventory.HermeticCan, Tight: true})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// readings are those of a shop's probes, by place.
type readings map[string][]evidence.Reading

// read adds readings of one value every so often, both ends included.
func (o readings) read(p inventory.Place, from, to, every, value string) readings {
	step, err := measure.ParseDuration(every)
	if err != nil {
		panic(err)
	}
	for i := clock(from); i <= clock(to); i = i.Add(step) {
		o[p.Name] = append(o[p.Name], evidence.Reading{At: i, Temp: degrees(value)})
	}
	return o
}

// once adds one reading.
func (o readings) once(p inventory.Place, when, value string) readings {
	return o.read(p, when, when, "1h", value)
}

// by returns the evidence as it was at an instant.
func (o readings) by(at measure.Instant) map[string]*alarm.Oven {
	ovens := map[string]*alarm.Oven{}
	for place, list := range o {
		known := slices.Clone(list)
		known = slices.DeleteFunc(known, func(r evidence.Reading) bool { return r.At > at })
		ovens[place] = alarm.NewOven(alarm.Probe{Readings: known})
	}
	return ovens
}

// steady is an oven that reads 130 °C every half hour from the day before on.
func steady() readings {
	return readings{}.read(h1, "2025-06-04 00:00", "2025-06-06 00:00", "30m", "130 C")
}

// rods tell the history of a bundle.
type rods struct{ h *inventory.History }

func can() *rods { return &rods{&inventory.History{Bundle: "K1", Tight: true}} }

func (r *rods) stay(s inventory.Stay) *rods {
	if n := len(r.h.Stays); n > 0 && r.h.Stays[n-1].To == 0 {
		r.h.Stays[n-1].To = s.From
	}
	if len(r.h.Stays) == 0 {
		r.h.Born = s.From
	}
	r.h.Stays = append(r.h.Stays, s)
	return r
}

func (r *rods) closed(when string, p inventory.Place) *rods {
	return r.stay(inventory.Stay{Place: p, From: clock(when), Sealed: true})
}

func (r *rods) in(when string, p inventory.Place) *rods {
	return r.stay(inventory.Stay{Place: p, From: clock(when)})
}

// out issues the rods from their bundle on a slip.
func (r *rods) out(when string, holder inventory.Place) *rods {
	return r.part(when, "S1").stay(inventory.Stay{Place: holder, From: clock(when), Slip: "S1"})
}

// gone ends the last stay: nothing is left of the bundle.
func (r *rods) gone(when string) *rods {
	r.h.Stays[len(r.h.Stays)-1].To = clock(when)
	return r
}

// back returns the rods from their slip, under a name of their own.
func (r *rods) back(when string, p inventory.Place) *rods {
	r.gone(when)
	return r.part(when, "R1").stay(inventory.Stay{Place: p, From: clock(when), Returned: true})
}

func (r *rods) event(when string, e inventory.Event) *rods {
	e.At = clock(when)
	r.h.Events = append(r.h.Events, e)
	return r
}

// part splits rods off; they have to be put somewhere next.
func (r *rods) part(when, bundle string) *rods {
	return &rods{&inventory.History{Bundle: bundle, Tight: r.h.Tight,
		Origins: []inventory.Origin{{History: r.h, Until: clock(when)}}}}
}

// watch returns the rods as the watch sees them at an instant.
func (r *rods) watch(rule rules.Ruling, o readings, at measure.Instant) *alarm.Rods {
	return &alarm.Rods{
		Bundle:  inventory.Bundle{Code: r.h.Bundle, Lot: "7B21", Pieces: 40, Born: r.h.Born},
		Lot:     inventory.Lot{Code: "7B21", Mark: mark("E7018"), Size: "1/8 in", Status: inventory.Released},
		Slip:    inventory.Slip{Code: "S1", Welder: "W3", Pieces: 40, Joints: []string{"J-101"}},
		History: r.h, Ruling: rule, Ovens: o.by(at), Words: alarm.Words{Zone: zone()},
	}
}

// conditions returns what was raised by a time, as "kind since until".
func (r *rods) conditions(rule rules.Ruling, o readings, at string) []string {
	return lines(r.watch(rule, o, clock(at)).Conditions(0, clock(at)))
}

// lines prints conditions as "exposure-near S1 10:12-10:45"; one that stands
// has no end.
func lines(list []alarm.Condition) []string {
	var out []string
	for _, c := range list {
		until := ""
		if c.Until != 0 {
			until = c.Until.Clock(zone(), clock("12:00"))
		}
		out = append(out, fmt.Sprintf("%s %s %s-%s", c.Kind, c.Subject, c.Since.Clock(zone(), clock("12:00")), until))
	}
	slices.Sort(out)
	return out
}
