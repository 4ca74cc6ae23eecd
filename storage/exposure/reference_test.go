package exposure_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// The reference below computes exposure in another way than the package does:
// minute by minute from the bare readings, and by whole runs of hot minutes
// instead of by what a hold in progress owes. It counts in thirds of a minute,
// because a packet of 12 h against a limit of 4 h makes one of them each
// minute.

const third = 20 * measure.Second

// plan is a random life of some rods in whole minutes.
type plan struct {
	from  measure.Instant
	rods  *rods
	ovens *ovens
	end   int // minutes from from to the end of the last stay
}

// planned draws a life: opened, moved about, issued and returned, with ovens
// that are read too seldom at times and are not always hot enough.
func planned(t *rapid.T) plan {
	p := plan{from: clock("06:00"), rods: can(), ovens: newOvens()}
	away := false
	for range rapid.IntRange(1, 10).Draw(t, "stays") {
		place := rapid.SampledFrom([]inventory.Place{loose, bench, h1, h1, h1, h2, q1, q1, inbox}).Draw(t, "place")
		s := inventory.Stay{Place: place, From: p.minute(p.end), Returned: away && place != loose && place != q1}
		away = (away && !s.Returned) || (place == loose || place == q1) && rapid.Bool().Draw(t, "slip")
		if away {
			s.Slip = "S1"
		}
		p.rods.stay(s)
		p.end += rapid.IntRange(1, 500).Draw(t, "minutes")
	}
	for _, place := range []inventory.Place{h1, h2, q1} {
		p.readings(t, place)
	}
	return p
}

func (p *plan) minute(m int) measure.Instant { return p.from.Add(measure.Duration(m) * measure.Minute) }

func (p *plan) readings(t *rapid.T, place inventory.Place) {
	hot := rapid.SampledFrom([]int64{110, 120, 130}).Draw(t, "usual")
	for m := rapid.IntRange(-90, 30).Draw(t, "first"); m < p.end; {
		temp := hot
		if rapid.IntRange(0, 14).Draw(t, "odd") == 0 {
			temp = rapid.SampledFrom([]int64{50, 64, 65, 119, 121}).Draw(t, "value")
		}
		p.ovens.readings[place.Name] = append(p.ovens.readings[place.Name],
			evidence.Reading{At: p.minute(m), Temp: measure.Celsius(temp)})
		m += rapid.SampledFrom([]int{20, 30, 30, 30, 45, 60, 60, 61, 100}).Draw(t, "gap")
	}
}

// lives is a ruling with what the reference needs to know of it.
type lives struct {
	set         string
	ruling      rules.Ruling
	running     bool
	quiverHolds bool
}

func allLives(t testing.TB) []lives {
	t.Helper()
	packet := []string{"packet.limit", "12h"}
	return []lives{
		{"reference-running", ruling(t, "reference-running", "E7018", packet...), true, true},
		{"reference-summed", ruling(t, "reference-summed", "E7018", packet...), false, true},
		{"reference-portable", ruling(t, "reference-portable", "E7018", packet...), true, false},
	}
}

func TestFoldAgreesWithAReferenceMadeMinuteByMinute(t *testing.T) {
	t.Parallel()
	for _, l := range allLives(t) {
		t.Run(l.set, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				p := planned(t)
				at := rapid.IntRange(0, p.end).Draw(t, "at")
				got := p.judge(l)(p.rods.h, p.minute(at))
				least, most := l.reference(&p, at, exposure.Kept), l.reference(&p, at, exposure.Open)
				if got.Least != least || got.Most != most {
					t.Fatalf("at minute %d: %s to %s, want %s to %s", at, got.Least, got.Most, least, most)
				}
			})
		})
	}
}

// reference returns the exposure with unproven time taken as of a kind.
func (l lives) reference(p *plan, at int, unproven exposure.Kind) measure.Duration {
	kinds := make([]exposure.Kind, at+1) // the last one is the present, without length
	returned := make([]bool, at+1)
	for m := range kinds {
		kinds[m] = l.kind(p, m, at, unproven)
		s := p.stayAt(m)
		returned[m] = s.Returned && s.From == p.minute(m)
	}
	f := folded{lives: l, kinds: kinds, returned: returned, end: at}
	return measure.Duration(f.run()) * third
}

func (p *plan) stayAt(m int) *inventory.Stay {
	stays := p.rods.h.Stays
	i := len(stays) - 1
	for stays[i].From > p.minute(m) {
		i--
	}
	return &stays[i]
}

// kind is what a minute is by the bare readings.
func (l lives) kind(p *plan, m, at int, unproven exposure.Kind) exposure.Kind {
	s := p.stayAt(m)
	switch s.Place.Kind {
	case inventory.Packet:
		return exposure.Packet
	case inventory.HoldingOven:
		return minuteKind(p, s, m, at, 120, exposure.Kept, unproven)
	case inventory.Quiver:
		if l.quiverHolds {
			return minuteKind(p, s, m, at, 120, exposure.Kept, unproven)
		}
		if unproven == exposure.Kept {
			unproven = exposure.Portable
		}
		return minuteKind(p, s, m, at, 65, exposure.Portable, unproven)
	default:
		return exposure.Open
	}
}

func minuteKind(p *plan, s *inventory.Stay, m, at int, floor int64, good, unproven exposure.Kind,
) exposure.Kind {
	now, left := p.minute(m), p.minute(at)
	for i := range p.rods.h.Stays { // until the rods leave for another place
		next := &p.rods.h.Stays[i]
		if next.From > now && next.From < left && next.Place != s.Place {
			left = next.From
			break
		}
	}
	var before, after *evidence.Reading
	for i := range p.ovens.readings[s.Place.Name] {
		r := &p.ovens.readings[s.Place.Name][i]
		if r.At <= now {
			before = r
		} else if after == nil {
			after = r
		}
	}
	switch {
	case before == nil:
		return unproven
	case after != nil && after.At.Sub(before.At) <= measure.Hour:
		if min(before.Temp, after.Temp) >= measure.Celsius(floor) {
			return good
		}
		return exposure.Open
	case left.Sub(before.At) > measure.Hour:
		return unproven
	case before.Temp >= measure.Celsius(floor):
		return good
	}
	return exposure.Open
}

// folded works through minutes of known kinds.
type folded struct {
	lives
	kinds    []exposure.Kind
	returned []bool
	end      int

	exposed, portable int // thirds of a minute
}

const (
	limit   = 4 * 60 * 3
	total   = 8 * 60 * 3
	holding = 4 * 60
)

func (f *folded) run() int {
	for m := 0; m < f.end; {
		if f.kinds[m] == exposure.Kept {
			m = f.hot(m)
			continue
		}
		switch f.kinds[m] {
		case exposure.Packet:
			f.exposed++
		case exposure.Portable:
			f.portable += 3
		default:
			f.exposed += 3
		}
		m++
	}
	return f.exposed
}

// hot works through a run of hot minutes and returns its end.
func (f *folded) hot(from int) int {
	to := from
	for to < f.end && f.kinds[to] == exposure.Kept {
		to++
	}
	whole := to == f.end && f.kinds[f.end] == exposure.Kept // still going on
	switch {
	case f.exposed == 0 && f.portable == 0:
	case f.exposed >= limit || (f.portable > 0 && f.exposed+f.portable >= total):
		if f.running {
			f.exposed += 3 * (to - from)
		}
	case f.complete(from, to):
		f.exposed, f.portable = 0, 0
	case !whole && f.running:
		f.exposed += 3 * (to - from)
	}
	return to
}

// complete reports whether four hours of a run lie between returns.
func (f *folded) complete(from, to int) bool {
	start := from
	for m := from + 1; m < to; m++ {
		if f.returned[m] {
			if m-start >= holding {
				return true
			}
			start = m
		}
	}
	return to-start >= holding
}
