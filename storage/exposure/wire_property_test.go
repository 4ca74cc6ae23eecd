package exposure_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

var f1 = inventory.Place{Name: "F1", Kind: inventory.Feeder}

// spooled is a spool that was put on a feeder, off it and into its pack again by
// chance, with how long it was out of the pack and since when it is open.
type spooled struct {
	rods *rods
	from measure.Instant
	end  measure.Instant
}

func spool(t *rapid.T) spooled {
	s := spooled{rods: can().closed("05:00", bench), from: clock("06:00")}
	s.end = s.from
	for range rapid.IntRange(1, 12).Draw(t, "stays") {
		place := rapid.SampledFrom([]inventory.Place{f1, f1, bench, loose, inbox, inbox}).Draw(t, "place")
		stay := inventory.Stay{Place: place, From: s.end}
		if place == f1 && rapid.Bool().Draw(t, "slip") {
			stay.Slip = "S1"
		}
		s.rods.stay(stay)
		s.end = s.end.Add(measure.Duration(rapid.Int64Range(1, int64(20*measure.Hour)).Draw(t, "for")))
	}
	return s
}

// outside adds up what a stopwatch would show that runs while a spool is out of
// its pack; with inside, whenever it is open.
func (s spooled) outside(at measure.Instant, inside bool) (sum measure.Duration) {
	for _, stay := range s.rods.h.Stays {
		to := at
		if stay.To != 0 {
			to = min(to, stay.To)
		}
		if !stay.Sealed && to > stay.From && (inside || stay.Place != inbox) {
			sum += to.Sub(stay.From)
		}
	}
	return sum
}

func (s spooled) instant(t *rapid.T, name string) measure.Instant {
	return s.from.Add(measure.Duration(rapid.Int64Range(0, int64(s.end.Sub(s.from)+10*measure.Hour)).Draw(t, name)))
}

// wireRulings are the ways to count the time of a spool: the sum out of its pack,
// the sum once it is open, and elapsed time (C66).
func wireRulings(t *testing.T) map[string]struct {
	rule   rules.Ruling
	inside bool
} {
	t.Helper()
	of := func(changes ...string) rules.Ruling {
		return ruling(t, "seismic-cored-72h", "E71T-1M", append([]string{"wire.clock", "summed"}, changes...)...)
	}
	return map[string]struct {
		rule   rules.Ruling
		inside bool
	}{
		"out of its pack": {of("wire.count_while_bagged", "false"), false},
		"once open":       {of("wire.count_while_bagged", "true"), true},
		"elapsed":         {ruling(t, "seismic-cored-72h", "E71T-1M", "wire.clock", "elapsed"), true},
	}
}

func TestSpoolTimeIsTheSumOnAndOffTheFeeder(t *testing.T) {
	t.Parallel()
	for name, c := range wireRulings(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				s := spool(t)
				a, b := s.instant(t, "one"), s.instant(t, "other")
				a, b = min(a, b), max(a, b)
				then, later := spoolAt(s, c.rule, a), spoolAt(s, c.rule, b)
				if want := s.outside(a, c.inside); then.Most != want || then.Least != want {
					t.Fatalf("at %s: %s to %s, a stopwatch shows %s", a, then.Least, then.Most, want)
				}
				if later.Most < then.Most || later.Most > then.Most+b.Sub(a) {
					t.Fatalf("%s at %s became %s at %s", then.Most, a, later.Most, b)
				}
				if past := later.Most > later.Limit; past != (later.Verdict == inventory.Discard) {
					t.Fatalf("%s of %s is %s", later.Most, later.Limit, later.Verdict)
				}
			})
		})
	}
}

func spoolAt(s spooled, r rules.Ruling, at measure.Instant) exposure.Judgement {
	return exposure.Judge(exposure.Facts{History: s.rods.h, Ruling: r}, at)
}

// A quiver's credit may be lost, which turns portable minutes into open ones. No
// minute of either is ever given back while the rods are out, and none is less
// than nothing.
func TestQuiverCreditNeverGivesMinutesBack(t *testing.T) {
	t.Parallel()
	sets := []struct{ set, class string }{{"reference-portable", "E7018"}, {"example-company", "E7018"}, {"structural-2015-a", "E7018"}}
	for _, c := range sets {
		rule := ruling(t, c.set, c.class)
		t.Run(c.set, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				p := carried(t)
				judge := p.judge(lives{ruling: rule})
				was := judge(p.rods.h, p.from)
				for m := 0; m <= p.end; m += 7 {
					is := judge(p.rods.h, p.minute(m))
					if is.Least < 0 || is.Portable < 0 || is.Most < is.Least {
						t.Fatalf("at %s: %s to %s open, %s portable", is.At, is.Least, is.Most, is.Portable)
					}
					if grown := is.Most + is.Portable - was.Most - was.Portable; is.Most < was.Most || grown < 0 || grown > is.At.Sub(was.At) {
						t.Fatalf("%s open and %s portable at %s became %s and %s at %s", was.Most, was.Portable, was.At, is.Most, is.Portable, is.At)
					}
					was = is
				}
			})
		})
	}
}

// carried is rods that are out in a quiver and in the open by turns, with
// readings of the quiver too cool to hold: between hot enough for its credit and
// cold.
func carried(t *rapid.T) plan {
	p := plan{from: clock("06:00"), rods: can().closed("05:00", bench), ovens: newOvens()}
	for range rapid.IntRange(1, 10).Draw(t, "stays") {
		place := rapid.SampledFrom([]inventory.Place{q1, q1, loose}).Draw(t, "place")
		p.rods.stay(inventory.Stay{Place: place, From: p.minute(p.end), Slip: "S1"})
		p.end += rapid.IntRange(1, 300).Draw(t, "minutes")
	}
	for m := rapid.IntRange(-90, 30).Draw(t, "first"); m < p.end; m += rapid.SampledFrom([]int{20, 30, 30, 30, 60, 60, 100}).Draw(t, "gap") {
		p.ovens.read(q1, p.minute(m).In(zone()), p.minute(m).In(zone()), "1h", rapid.SampledFrom([]string{"80 C", "80 C", "80 C", "66 C", "64 C", "50 C"}).Draw(t, "value"))
	}
	return p
}
