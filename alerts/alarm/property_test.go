package alarm_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// shop is a random day and a half of one can of rods in a shop.
type shop struct {
	rule     rules.Ruling
	readings readings
	bundles  []*inventory.History
	ends     measure.Instant
	delays   alarm.Delays
}

func drawShop(t *rapid.T, ruled map[string]rules.Ruling) shop {
	s := shop{readings: readings{}, ends: clock("2025-06-06 16:00")}
	s.rule = ruled[rapid.SampledFrom(slices.Sorted(maps.Keys(ruled))).Draw(t, "rule")]
	for _, d := range []*measure.Duration{&s.delays.On, &s.delays.Off} {
		*d = measure.Duration(rapid.SampledFrom([]int{0, 0, 1, 10, 45}).Draw(t, "delay")) * measure.Minute
	}
	s.delays.Deadband = measure.Celsius(rapid.SampledFrom([]int64{0, 2, 8}).Draw(t, "deadband"))
	for _, p := range []inventory.Place{h1, q1} {
		for at := clock("05:00"); at < s.ends; {
			s.readings[p.Name] = append(s.readings[p.Name], evidence.Reading{At: at, Temp: measure.Celsius(drawTemp(t))})
			at = at.Add(measure.Duration(rapid.IntRange(1, 75).Draw(t, "apart")) * measure.Minute)
		}
	}
	s.tell(t)
	return s
}

func drawTemp(t *rapid.T) int64 {
	return rapid.SampledFrom([]int64{130, 130, 130, 130, 125, 120, 119, 90, 20}).Draw(t, "temp")
}

// tell lets random things happen to the rods.
func (s *shop) tell(t *rapid.T) {
	r := can().closed("05:00", store)
	s.bundles = append(s.bundles, r.h)
	at := clock("06:00")
	for i := range rapid.IntRange(1, 9).Draw(t, "acts") {
		at = at.Add(measure.Duration(rapid.IntRange(1, 300).Draw(t, "later")) * measure.Minute)
		if at >= s.ends {
			return
		}
		r = s.act(t, r, i, at)
	}
}

// act lets something happen to rods that a person could do with them then, and
// returns those to go on with.
func (s *shop) act(t *rapid.T, r *rods, i int, at measure.Instant) *rods {
	last := r.h.Stays[len(r.h.Stays)-1]
	place := rapid.SampledFrom([]inventory.Place{h1, h1, bench}).Draw(t, "place")
	holder := rapid.SampledFrom([]inventory.Place{loose, q1}).Draw(t, "holder")
	act := rapid.SampledFrom([]string{"away", "away", "move", "wet", "release"}).Draw(t, "act")
	switch {
	case act == "wet" || act == "release":
		kind := map[string]inventory.EventKind{"wet": inventory.GotWet, "release": inventory.Decided}[act]
		r.h.Events = append(r.h.Events, inventory.Event{At: at, Kind: kind, Disposition: "release"})
		return r
	case act == "move" && last.Slip != "":
		return r.stay(inventory.Stay{Place: holder, From: at, Slip: last.Slip})
	case act == "move" || last.Sealed:
		return r.stay(inventory.Stay{Place: place, From: at})
	case last.Slip != "": // back
		return s.part(r, fmt.Sprintf("R%d", i), inventory.Stay{Place: place, From: at, Returned: true})
	}
	slip := fmt.Sprintf("S%d", i)
	return s.part(r, slip, inventory.Stay{Place: holder, From: at, Slip: slip})
}

// part lets the rods go on under another name.
func (s *shop) part(r *rods, name string, first inventory.Stay) *rods {
	r.h.Stays[len(r.h.Stays)-1].To = first.From
	child := &rods{&inventory.History{Bundle: name, Tight: true,
		Origins: []inventory.Origin{{History: r.h, Until: first.From}}}}
	s.bundles = append(s.bundles, child.h)
	return child.stay(first)
}

// by returns a history as it was known at an instant.
func by(h *inventory.History, at measure.Instant) *inventory.History {
	out := *h
	out.Stays, out.Events, out.Origins = nil, nil, nil
	for _, s := range h.Stays {
		if s.From <= at {
			if s.To > at {
				s.To = 0
			}
			out.Stays = append(out.Stays, s)
		}
	}
	for _, e := range h.Events {
		if e.At <= at {
			out.Events = append(out.Events, e)
		}
	}
	for _, o := range h.Origins {
		out.Origins = append(out.Origins, inventory.Origin{History: by(o.History, at), Until: o.Until})
	}
	return &out
}

// look returns what is seen from one instant to another, from what is known
// then. As in the program, places are looked at again from where their alarms
// that stand began.
func (s *shop) look(from, at measure.Instant, standing []alarm.Key) []alarm.Condition {
	var found []alarm.Condition
	contents := map[string][]alarm.Content{}
	for _, h := range s.bundles {
		if h.Born > at {
			continue
		}
		known := rods{by(h, at)}
		found = append(found, known.watch(s.rule, s.readings, at).Conditions(from, at, about(standing, h.Bundle)...)...)
		for _, stay := range known.h.Stays {
			if stay.Place.Kind.Heated() {
				contents[stay.Place.Name] = append(contents[stay.Place.Name], alarm.Content{Bundle: h.Bundle,
					From: stay.From, To: stay.To, Band: at120, Proof: stay.Place.Kind == inventory.HoldingOven})
			}
		}
	}
	for _, p := range []inventory.Place{h1, q1} {
		one := place(p, nil, contents[p.Name]...)
		one.Oven, one.Cold = s.readings.by(at)[p.Name], s.delays
		since := from
		for _, k := range about(standing, p.Name) {
			since = min(since, k.Since-1)
		}
		found = append(found, one.Conditions(since, at)...)
	}
	return found
}

// about returns the alarms of one subject. In this shop the rods of a slip are
// one bundle of its name.
func about(keys []alarm.Key, subject string) []alarm.Key {
	return slices.DeleteFunc(slices.Clone(keys), func(k alarm.Key) bool { return k.Subject != subject })
}

// record is what a watch has written down.
type record map[alarm.Key]measure.Instant

// note adds what was seen; what stood and is not seen any more has ceased.
func (r record) note(s *shop, from, at measure.Instant) {
	var standing []alarm.Key
	for k, until := range r {
		if until == 0 {
			standing = append(standing, k)
			r[k] = at
		}
	}
	for _, c := range s.look(from, at, standing) {
		if _, recorded := r[c.Key()]; !recorded || slices.Contains(standing, c.Key()) {
			r[c.Key()] = c.Until
		}
	}
}

// lines prints a record.
func (r record) lines() []string {
	var list []alarm.Condition
	for k, until := range r {
		list = append(list, alarm.Condition{Kind: k.Kind, Subject: k.Subject, Since: k.Since, Until: until})
	}
	return lines(list)
}

// TestWhatIsRaisedDoesNotDependOnWhenItIsLookedAt looks at a shop at random
// instants, as a watch does that is stopped and started, and compares with a
// single look at the end: the same conditions, since the same instants, until
// the same instants.
func TestWhatIsRaisedDoesNotDependOnWhenItIsLookedAt(t *testing.T) {
	t.Parallel()
	ruled := map[string]rules.Ruling{
		"running E70":  ruling(t, "reference-running", "E7018", nil),
		"running E110": ruling(t, "reference-running", "E11018-M", nil),
		"summed E80":   ruling(t, "reference-summed", "E8018-C3", nil),
		"portable E70": ruling(t, "reference-portable", "E7018", nil),
		"open E110":    ruling(t, "reference-running", "E11018-M", map[string]string{"evidence.missing": "open"}),
	}
	// A hold that is shorter than readings may be apart is often refuted by the
	// next one, and past the limit soon after.
	for name, of := range map[string]string{"short hold, running": "running E110", "short hold, summed": "summed E80"} {
		r := ruled[of]
		row := *r.Hold
		row.Duration = 40 * measure.Minute
		r.Hold = &row
		ruled[name] = r
	}
	rapid.Check(t, func(t *rapid.T) {
		s := drawShop(t, ruled)
		once, often := record{}, record{}
		once.note(&s, 0, s.ends)
		minutes := rapid.SliceOfN(rapid.IntRange(0, 35*60*60), 0, 40).Draw(t, "looks")
		slices.Sort(minutes)
		var mark measure.Instant
		for _, m := range minutes {
			at := clock("05:00").Add(measure.Duration(m) * measure.Second)
			often.note(&s, mark, at)
			mark = at
		}
		often.note(&s, mark, s.ends)
		if diff := cmp.Diff(once.lines(), often.lines()); diff != "" {
			t.Fatalf("raised in one look (-) and in %d looks (+):\n%s", len(minutes)+1, diff)
		}
	})
}
