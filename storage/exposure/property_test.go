package exposure_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/exposure"
)

// judge gives the judgement on a history at an instant.
type judge func(*inventory.History, measure.Instant) exposure.Judgement

// each checks a property of random lives under each of the reference sets.
func each(t *testing.T, check func(*rapid.T, plan, judge)) {
	t.Helper()
	for _, l := range allLives(t) {
		t.Run(l.set, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				p := planned(t)
				check(t, p, p.judge(l))
			})
		})
	}
}

func (p *plan) judge(l lives) judge {
	places := p.ovens.places()
	return func(h *inventory.History, at measure.Instant) exposure.Judgement {
		return exposure.Judge(exposure.Facts{History: h, Places: places, Ruling: l.ruling}, at)
	}
}

// instant draws an instant of the life, to the second.
func (p *plan) instant(t *rapid.T) measure.Instant {
	return p.from.Add(measure.Duration(rapid.IntRange(0, p.end*60).Draw(t, "second")) * measure.Second)
}

func TestMostIsNeverLessThanLeast(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		j := judge(p.rods.h, p.instant(t))
		if j.Most < j.Least {
			t.Fatalf("most %s is less than least %s", j.Most, j.Least)
		}
	})
}

func TestExposureNeverShrinksWhileRodsAreOut(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		p.rods.stay(inventory.Stay{Place: loose, From: p.minute(p.end), Slip: "S1"})
		first := p.minute(p.end + rapid.IntRange(0, 600).Draw(t, "first"))
		d := measure.Duration(rapid.Int64Range(0, int64(5*measure.Hour)).Draw(t, "later"))
		a, b := judge(p.rods.h, first), judge(p.rods.h, first.Add(d))
		if b.Most != a.Most+d || b.Least != a.Least+d {
			t.Fatalf("%s later %s to %s became %s to %s", d, a.Least, a.Most, b.Least, b.Most)
		}
		if a.Due != b.Due || a.Warn != b.Warn {
			t.Fatalf("foreseen at %s: warning %s, limit %s; it came at %s and %s", first, a.Warn, a.Due, b.Warn, b.Due)
		}
	})
}

func TestFactsAfterTheInstantChangeNothing(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		at := p.instant(t)
		p.rods.h.Events = []inventory.Event{{At: at + 1, Kind: inventory.GotWet}}
		all := judge(p.rods.h, at)

		known := inventory.History{Bundle: p.rods.h.Bundle, Tight: true}
		for _, s := range p.rods.h.Stays {
			if s.From > at {
				break
			}
			if s.To > at {
				s.To = 0
			}
			known.Stays = append(known.Stays, s)
		}
		for name, readings := range p.ovens.readings {
			next := slices.IndexFunc(readings, func(r evidence.Reading) bool { return r.At > at })
			if next >= 0 { // the next reading speaks for the time since the one before it
				p.ovens.readings[name] = readings[:next+1]
			}
		}
		then := exposure.Judge(exposure.Facts{History: &known, Places: p.ovens.places(), Ruling: all.Ruling}, at)
		if !same(all, then) {
			t.Fatalf("with later facts %s, without them %s", show(all), show(then))
		}
	})
}

// same compares what two judgements say.
func same(a, b exposure.Judgement) bool { return show(a) == show(b) && a.Boundary == b.Boundary }

func show(j exposure.Judgement) string {
	text := string(j.Verdict) + " " + string(j.Kind) + " " + j.Why
	for _, d := range []measure.Duration{j.Least, j.Most, j.Portable, j.Hold} {
		text += " " + d.String()
	}
	for _, i := range []measure.Instant{j.Warn, j.Due, j.Ready, j.Held} {
		text += " " + i.String()
	}
	return text
}

func TestSplitRodsAreJudgedAsTheirBundleWas(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		at := p.instant(t)
		s := *p.stayOf(at)
		child := &inventory.History{Bundle: "R1", Origins: []inventory.Origin{{History: p.rods.h, Until: at}}}
		child.Stays = []inventory.Stay{{Place: s.Place, From: at, Slip: s.Slip}}
		if a, b := judge(p.rods.h, at), judge(child, at); !same(a, b) {
			t.Fatalf("at the split the bundle is %s, the part %s", show(a), show(b))
		}
		later := at.Add(measure.Duration(rapid.IntRange(0, 3000).Draw(t, "later")) * measure.Second)
		if s.To != 0 {
			later = min(later, s.To-1)
		}
		if a, b := judge(p.rods.h, later), judge(child, later); !same(a, b) {
			t.Fatalf("after the split the bundle is %s, the part %s", show(a), show(b))
		}
	})
}

func (p *plan) stayOf(at measure.Instant) *inventory.Stay {
	return p.stayAt(int(at.Sub(p.from) / measure.Minute))
}

func TestJoinedRodsAreNeverBetterThanAnyOfThem(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		other := planned(t)
		at := p.minute(min(p.end, other.end))
		after := planned(t) // what all of them go through next
		both := mixAt(at, p.rods, other.rods)
		a, b := cutAt(at, p.rods), cutAt(at, other.rods)
		for _, s := range after.rods.h.Stays {
			s.From, s.To = at.Add(s.From.Sub(after.from)), 0
			for _, r := range []*rods{both, a, b} {
				r.stay(s)
			}
		}
		when := at.Add(after.instant(t).Sub(after.from))
		joined := judge(both.h, when)
		for _, r := range []*rods{a, b} {
			j := judge(r.h, when)
			if joined.Most < j.Most || joined.Least < j.Least {
				t.Fatalf("joined %s, one of them %s", show(joined), show(j))
			}
			if joined.Verdict == inventory.Ready && j.Verdict != inventory.Ready {
				t.Fatalf("joined rods are ready, one of them: %s", show(j))
			}
		}
	})
}

func mixAt(at measure.Instant, all ...*rods) *rods {
	h := &inventory.History{Bundle: "B", Tight: true}
	for _, r := range all {
		h.Origins = append(h.Origins, inventory.Origin{History: r.h, Until: at})
	}
	return &rods{h}
}

// cutAt is rods of their own that went the way of others up to an instant.
func cutAt(at measure.Instant, r *rods) *rods { return mixAt(at, r) }

func TestRunningClockIsNeverLessThanTheSummed(t *testing.T) {
	t.Parallel()
	running, summed := allLives(t)[0], allLives(t)[1]
	rapid.Check(t, func(t *rapid.T) {
		p := planned(t)
		at := p.instant(t)
		r, s := p.judge(running)(p.rods.h, at), p.judge(summed)(p.rods.h, at)
		if r.Most < s.Most || r.Least < s.Least {
			t.Fatalf("running %s, summed %s", show(r), show(s))
		}
	})
}

func TestOrderAndRepetitionOfReadingsChangeNothing(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		at := p.instant(t)
		want := judge(p.rods.h, at)
		for name, readings := range p.ovens.readings {
			twice := append(slices.Clone(readings), readings...)
			p.ovens.readings[name] = rapid.Permutation(twice).Draw(t, "order")
		}
		got := exposure.Judge(exposure.Facts{History: p.rods.h, Places: p.ovens.places(), Ruling: want.Ruling}, at)
		if !same(got, want) {
			t.Fatalf("shuffled %s, in order %s", show(got), show(want))
		}
	})
}

func TestSensorErrorIsAShiftOfItsReadings(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		at := p.instant(t)
		want := judge(p.rods.h, at)
		shift := measure.Temperature(rapid.Int64Range(-20, 20).Draw(t, "degrees")) * measure.Degree
		for name, readings := range p.ovens.readings {
			shown := slices.Clone(readings)
			for i := range shown {
				shown[i].Temp += shift
			}
			p.ovens.readings[name] = shown
			p.ovens.calibrations[name] = []evidence.Calibration{{At: p.minute(-200), Error: shift}}
		}
		got := exposure.Judge(exposure.Facts{History: p.rods.h, Places: p.ovens.places(), Ruling: want.Ruling}, at)
		if !same(got, want) {
			t.Fatalf("shifted and calibrated %s, true %s", show(got), show(want))
		}
	})
}

func TestPiecesTileTheLifeAndEndWithTheExposure(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		at := p.instant(t)
		ruling := judge(p.rods.h, at).Ruling
		j := exposure.Explain(exposure.Facts{History: p.rods.h, Places: p.ovens.places(), Ruling: ruling}, at)
		next := p.from
		for _, piece := range j.Pieces {
			if piece.From != next || piece.To <= piece.From {
				t.Fatalf("a piece from %s to %s follows one that ended %s", piece.From, piece.To, next)
			}
			next = piece.To
		}
		if next != at && at != p.from {
			t.Fatalf("the pieces end at %s, judged at %s", next, at)
		}
		if plain := judge(p.rods.h, at); !same(j, plain) {
			t.Fatalf("explained %s, judged %s", show(j), show(plain))
		}
	})
}
