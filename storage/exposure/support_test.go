package exposure_test

import (
	"strings"
	"sync"
	"testing"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// day is the day of every time that is written without one.
const day = "2025-06-05"

var (
	loose = inventory.Place{Name: "open air", Kind: inventory.OpenAir}
	bench = inventory.Place{Name: "bench", Kind: inventory.Shelf}
	inbox = inventory.Place{Name: "packet", Kind: inventory.Packet}
	h1    = inventory.Place{Name: "H1", Kind: inventory.HoldingOven}
	h2    = inventory.Place{Name: "H2", Kind: inventory.HoldingOven}
	q1    = inventory.Place{Name: "Q1", Kind: inventory.Quiver}
	b1    = inventory.Place{Name: "B1", Kind: inventory.BakeOven}
)

// zone is the clock that the replays are written in.
var zone = sync.OnceValue(func() *time.Location {
	z, err := time.LoadLocation("America/Halifax")
	if err != nil {
		panic(err)
	}
	return z
})

// clock reads "07:00", "07:00:01" and "2025-05-09 14:00" on the shop's clock.
func clock(s string) measure.Instant {
	if !strings.Contains(s, " ") && !strings.Contains(s, "T") {
		s = day + " " + s
	}
	i, err := measure.ParseInstant(s, zone())
	if err != nil {
		panic(err)
	}
	return i
}

func span(s string) measure.Duration {
	d, err := measure.ParseDuration(s)
	if err != nil {
		panic(err)
	}
	return d
}

func degrees(s string) measure.Temperature {
	d, err := measure.ParseTemperature(s)
	if err != nil {
		panic(err)
	}
	return d
}

// ruling is what a shipped set says of a class that came in a hermetic can.
// Settings are changed by pairs of name and value.
func ruling(t testing.TB, set, class string, changes ...string) rules.Ruling {
	t.Helper()
	s, err := rules.Shipped(set)
	if err != nil {
		t.Fatal(err)
	}
	return resolve(t, s, class, changes...)
}

func resolve(t testing.TB, s *rules.Set, class string, changes ...string) rules.Ruling {
	t.Helper()
	settings := map[string]string{}
	for i := 0; i < len(changes); i += 2 {
		settings[changes[i]] = changes[i+1]
	}
	s, err := s.With(settings)
	if err != nil {
		t.Fatal(err)
	}
	mark, err := designation.Parse(class, "")
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.Resolve(rules.Subject{Mark: mark, Package: inventory.HermeticCan, Tight: true})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// ovens are the readings of a shop's heated places.
type ovens struct {
	readings     map[string][]evidence.Reading
	calibrations map[string][]evidence.Calibration
}

func newOvens() *ovens {
	return &ovens{map[string][]evidence.Reading{}, map[string][]evidence.Calibration{}}
}

// steady is a shop whose ovens and quivers read 130 °C every half hour for
// three days about the day.
func steady() *ovens {
	o := newOvens()
	for _, p := range []inventory.Place{h1, h2, q1} {
		o.read(p, "2025-06-04 00:00", "2025-06-07 00:00", "30m", "130 C")
	}
	return o
}

// read adds readings of one value, the last of them at the end or before it.
func (o *ovens) read(p inventory.Place, from, to, every, value string) *ovens {
	end, step, temp := clock(to), span(every), degrees(value)
	for i := clock(from); i <= end; i = i.Add(step) {
		o.readings[p.Name] = append(o.readings[p.Name], evidence.Reading{At: i, Temp: temp})
	}
	return o
}

// once adds one reading.
func (o *ovens) once(p inventory.Place, when, value string) *ovens {
	return o.read(p, when, when, "1h", value)
}

func (o *ovens) places() map[string]*evidence.Place {
	places := map[string]*evidence.Place{}
	for name, readings := range o.readings {
		places[name] = evidence.NewPlace(evidence.NewTrack(readings, o.calibrations[name]))
	}
	return places
}

// judge is the judgement of rods at a time.
func (o *ovens) judge(r rules.Ruling, rods *rods, when string) exposure.Judgement {
	return exposure.Judge(exposure.Facts{History: rods.h, Places: o.places(), Ruling: r}, clock(when))
}

// rods build a history by telling it.
type rods struct{ h *inventory.History }

// can is rods that came in a hermetic can with its seal intact, carton rods
// that did not.
func can() *rods    { return &rods{&inventory.History{Bundle: "K1", Tight: true}} }
func carton() *rods { return &rods{&inventory.History{Bundle: "K1"}} }

// closed leaves the rods in their package from an instant on.
func (r *rods) closed(when string, p inventory.Place) *rods {
	return r.stay(inventory.Stay{Place: p, From: clock(when), Sealed: true})
}

// in puts the rods in a place, opened.
func (r *rods) in(when string, p inventory.Place) *rods {
	return r.stay(inventory.Stay{Place: p, From: clock(when)})
}

// out issues the rods on a slip.
func (r *rods) out(when string, holder inventory.Place) *rods {
	return r.stay(inventory.Stay{Place: holder, From: clock(when), Slip: "S1"})
}

// back returns the rods from their slip.
func (r *rods) back(when string, p inventory.Place) *rods {
	return r.stay(inventory.Stay{Place: p, From: clock(when), Returned: true})
}

// bake puts the rods in the bake oven.
func (r *rods) bake(when, set string) *rods {
	return r.stay(inventory.Stay{Place: b1, From: clock(when), Bake: &inventory.BakeOrder{Set: degrees(set)}})
}

// stay ends the stay before and begins another.
func (r *rods) stay(s inventory.Stay) *rods {
	if n := len(r.h.Stays); n > 0 && r.h.Stays[n-1].To == 0 {
		r.h.Stays[n-1].To = s.From
	}
	r.h.Stays = append(r.h.Stays, s)
	return r
}

// wet and decided tell what else happened.
func (r *rods) wet(when string) *rods {
	r.h.Events = append(r.h.Events, inventory.Event{At: clock(when), Kind: inventory.GotWet})
	return r
}

func (r *rods) decided(when, disposition string) *rods {
	e := inventory.Event{At: clock(when), Kind: inventory.Decided, Disposition: disposition}
	r.h.Events = append(r.h.Events, e)
	return r
}

// part splits some rods off; they have to be put somewhere next.
func (r *rods) part(when, bundle string) *rods {
	return &rods{&inventory.History{Bundle: bundle, Tight: r.h.Tight,
		Origins: []inventory.Origin{{History: r.h, Until: clock(when)}}}}
}

// mix joins bundles; they have to be put somewhere next.
func mix(when, bundle string, all ...*rods) *rods {
	h := &inventory.History{Bundle: bundle, Tight: true}
	for _, r := range all {
		h.Tight = h.Tight && r.h.Tight
		h.Origins = append(h.Origins, inventory.Origin{History: r.h, Until: clock(when)})
	}
	return &rods{h}
}

// want is what a judgement must say; what is empty is not asked.
type want struct {
	verdict           inventory.Verdict
	most, least       string // exposure; least is the same as most where empty
	warn, due, ready  string // on the shop's clock; "never" is not in sight
	limit, held, hold string
}

// expect compares a judgement with what it must say.
func expect(t *testing.T, got exposure.Judgement, w want) {
	t.Helper()
	if w.verdict != "" && got.Verdict != w.verdict {
		t.Errorf("at %s: verdict %q (%s), want %q", got.At.In(zone()), got.Verdict, got.Why, w.verdict)
	}
	if w.most != "" && w.least == "" {
		w.least = w.most
	}
	durations := []struct {
		name string
		got  measure.Duration
		want string
	}{
		{"most", got.Most, w.most}, {"least", got.Least, w.least},
		{"limit", got.Limit, w.limit}, {"hold", got.Hold, w.hold},
	}
	for _, d := range durations {
		if d.want != "" && d.got != span(d.want) {
			t.Errorf("at %s: %s %s, want %s", got.At.In(zone()), d.name, d.got, d.want)
		}
	}
	instants := []struct {
		name string
		got  measure.Instant
		want string
	}{
		{"warn", got.Warn, w.warn}, {"due", got.Due, w.due},
		{"ready", got.Ready, w.ready}, {"held", got.Held, w.held},
	}
	for _, i := range instants {
		if i.want != "" && i.got != instant(i.want) {
			t.Errorf("at %s: %s %s, want %s", got.At.In(zone()), i.name, i.got.In(zone()), i.want)
		}
	}
}

func instant(s string) measure.Instant {
	if s == "never" {
		return 0
	}
	return clock(s)
}

func calibration(at measure.Instant, reads measure.Temperature, due measure.Instant) evidence.Calibration {
	return evidence.Calibration{At: at, Error: reads, Due: due}
}

func subject(t testing.TB, class string) rules.Subject {
	t.Helper()
	mark, err := designation.Parse(class, "")
	if err != nil {
		t.Fatal(err)
	}
	return rules.Subject{Mark: mark, Package: inventory.HermeticCan, Tight: true}
}
