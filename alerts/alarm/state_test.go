package alarm_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// reference is the machine written another way: by two memories, whether the
// condition stands and whether somebody must still see it, and by what set the
// alarm aside, as the standard's diagram is explained.
type reference struct {
	active, unseen bool
	aside          alarm.State // empty: in service
}

func (r *reference) state() alarm.State {
	switch {
	case r.aside != "":
		return r.aside
	case r.active && r.unseen:
		return alarm.Unacknowledged
	case r.active:
		return alarm.Acknowledged
	case r.unseen:
		return alarm.Returned
	}
	return alarm.Normal
}

// do does an event and reports whether it is possible.
func (r *reference) do(e alarm.Event) bool {
	switch e {
	case alarm.Raise:
		r.active, r.unseen = true, true
	case alarm.Clear:
		r.active = false
	case alarm.Ack:
		if r.aside != "" || !r.unseen {
			return false
		}
		r.unseen = false
	case alarm.Recall:
		if r.aside != "" || !r.active || r.unseen {
			return false
		}
		r.unseen = true
	case alarm.Shelve:
		if r.aside != "" || (!r.active && !r.unseen) {
			return false
		}
		r.aside = alarm.OnShelf
	case alarm.Suppress:
		if r.aside == alarm.Suppressed || r.aside == alarm.OutOfService {
			return false
		}
		r.aside = alarm.Suppressed
	case alarm.Remove:
		if r.aside == alarm.OutOfService {
			return false
		}
		r.aside = alarm.OutOfService
	default:
		return r.back(e)
	}
	return true
}

// back brings an alarm back that was set aside: what stands is to be seen anew.
func (r *reference) back(e alarm.Event) bool {
	from := map[alarm.Event]alarm.State{alarm.Unshelve: alarm.OnShelf, alarm.Release: alarm.Suppressed, alarm.Restore: alarm.OutOfService}
	if r.aside == "" || from[e] != r.aside {
		return false
	}
	r.aside, r.unseen = "", r.active
	return true
}

// TestTheMachineIsThatOfTheStandard walks at random through the table and through
// the reference, which must agree on every state and on what is not possible.
func TestTheMachineIsThatOfTheStandard(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		m, r := alarm.Machine{State: alarm.Normal}, reference{}
		for _, e := range rapid.SliceOfN(rapid.SampledFrom(alarm.Events()), 1, 200).Draw(t, "events") {
			before := m
			next, err := m.Next(e)
			if possible := r.do(e); possible != (err == nil) {
				t.Fatalf("%s while %+v: possible %t, error %v", e, before, possible, err)
			}
			if err != nil && next != before {
				t.Fatalf("%s while %+v is not possible and led to %+v", e, before, next)
			}
			if m = next; m.State != r.state() || m.Active != r.active {
				t.Fatalf("%s while %+v led to %+v, want %q, active %t", e, before, m, r.state(), r.active)
			}
		}
	})
}

// TestEveryStateCanBeReachedAndLeft, so that no alarm is lost in one.
func TestEveryStateCanBeReachedAndLeft(t *testing.T) {
	t.Parallel()
	seen := map[alarm.State]bool{alarm.Normal: true}
	todo := []alarm.Machine{{State: alarm.Normal}}
	known := map[alarm.Machine]bool{todo[0]: true}
	for len(todo) > 0 {
		m := todo[0]
		todo = todo[1:]
		left := false
		for _, e := range alarm.Events() {
			next, err := m.Next(e)
			if err != nil {
				continue
			}
			left = left || next.State != m.State
			seen[next.State] = true
			if !known[next] {
				known[next] = true
				todo = append(todo, next)
			}
		}
		if !left {
			t.Errorf("nothing leads out of %+v", m)
		}
	}
	if len(seen) != len(alarm.States()) {
		t.Errorf("%d states can be reached, want %d", len(seen), len(alarm.States()))
	}
}

// TestTheCatalogueNamesEveryKindOnce, with where its figures come from.
func TestTheCatalogueNamesEveryKindOnce(t *testing.T) {
	t.Parallel()
	seen := map[alarm.Kind]bool{}
	for _, e := range alarm.Shipped().Entries() {
		if _, err := alarm.ParseKind(string(e.Kind)); err != nil || seen[e.Kind] || e.Source == "" || e.Status == "" {
			t.Errorf("%+v: known %v, named before %t", e, err, seen[e.Kind])
		}
		seen[e.Kind] = true
	}
	for _, k := range alarm.Kinds() {
		if !seen[k] {
			t.Errorf("%s is not in the catalogue", k)
		}
	}
}

func TestShelvingIsBoundedByKindAndByTheLimitOfTheRods(t *testing.T) {
	t.Parallel()
	const now = measure.Instant(1_750_000_000_000_000)
	for _, tt := range []struct {
		name    string
		kind    alarm.Kind
		d, due  measure.Duration // due 0: no such time
		allowed bool
	}{
		{"past its limit", alarm.ExposurePast, measure.Minute, 0, false},
		{"near, to its limit", alarm.ExposureNear, 48 * measure.Minute, 48 * measure.Minute, true},
		{"near, past its limit", alarm.ExposureNear, 48*measure.Minute + 1, 48 * measure.Minute, false},
		{"cold, a shift", alarm.OvenCold, 12 * measure.Hour, 0, true},
		{"cold, longer", alarm.OvenCold, 12*measure.Hour + 1, 0, false},
		{"cold, past the limit of the rods in it", alarm.OvenCold, 4 * measure.Hour, 3 * measure.Hour, false},
		{"no reading, a day", alarm.NoReading, measure.Day, 0, true},
		{"for no time", alarm.NoReading, 0, 0, false},
		{"a kind that is not in the catalogue", "flood", measure.Minute, 0, false},
	} {
		due := measure.Instant(0)
		if tt.due != 0 {
			due = now.Add(tt.due)
		}
		if err := alarm.Shipped().Of(tt.kind).Check(now, now.Add(tt.d), due); (err == nil) != tt.allowed {
			t.Errorf("%s: %v, allowed %t expected", tt.name, err, tt.allowed)
		}
	}
}

func TestAShelfEndsByTimeWhenItCeasesOrForWorse(t *testing.T) {
	t.Parallel()
	s := alarm.Shelf{Until: 100, Priority: alarm.Medium}
	once := alarm.Shelf{Until: 100, Once: true, Priority: alarm.Medium}
	for _, tt := range []struct {
		name   string
		shelf  alarm.Shelf
		at     measure.Instant
		active bool
		p      alarm.Priority
		ended  bool
	}{
		{"before its time", s, 99, true, alarm.Medium, false},
		{"at its time", s, 100, true, alarm.Medium, true},
		{"ceased, for a time", s, 50, false, alarm.Medium, false},
		{"ceased, once", once, 50, false, alarm.Medium, true},
		{"worse", s, 50, true, alarm.High, true},
		{"less bad", s, 50, true, alarm.Low, false},
	} {
		if why := tt.shelf.Ended(tt.at, tt.active, tt.p); (why != "") != tt.ended {
			t.Errorf("%s: %q, ended %t expected", tt.name, why, tt.ended)
		}
	}
}
