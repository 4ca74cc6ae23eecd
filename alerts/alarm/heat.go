package alarm

import (
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// heat returns when the place was too cold and too hot, from the reading that
// proved it until one in range. A change of what is in it is judged by the
// newest readings as long as they speak for the present; silence ends nothing.
func (p *Place) heat(at measure.Instant) []Condition {
	readings := p.readings(at)
	w := heatWatch{place: p, last: make([]*evidence.Reading, p.probes())}
	for _, t := range p.moments(readings, at) {
		for len(readings) > 0 && readings[0].At <= t {
			w.last[readings[0].probe] = &readings[0].Reading
			readings = readings[1:]
		}
		w.look(t)
	}
	return w.found
}

func (p *Place) probes() int {
	if p.Oven == nil {
		return 0
	}
	return len(p.Oven.probes)
}

// moments returns every instant up to at at which something is read or what is
// in the place changes.
func (p *Place) moments(readings []shown, at measure.Instant) []measure.Instant {
	var list []measure.Instant
	for _, r := range readings {
		list = append(list, r.At)
	}
	for _, c := range p.Contents {
		if c.From <= at {
			list = append(list, c.From)
		}
		if c.To != 0 && c.To <= at {
			list = append(list, c.To)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// heatWatch follows a place from moment to moment.
type heatWatch struct {
	place     *Place
	last      []*evidence.Reading // by probe
	cold, hot int                 // which of found stands, from 1; zero: none
	found     []Condition
}

func (w *heatWatch) look(t measure.Instant) {
	band := w.place.band(t)
	if band == nil {
		w.end(&w.cold, t)
		w.end(&w.hot, t)
		return
	}
	low, high, ok := w.extremes(t)
	if !ok {
		return
	}
	w.turn(&w.cold, low < band.Min, t, func() Condition { return w.place.tooCold(t, low, band.Min) })
	w.turn(&w.hot, band.HasMax && high > band.Max, t, func() Condition { return w.place.tooHot(t, high, band.Max) })
}

// extremes returns the lowest and the highest of what the probes show at an
// instant; false where none of them speaks for it.
func (w *heatWatch) extremes(t measure.Instant) (low, high measure.Temperature, ok bool) {
	for _, r := range w.last {
		if r == nil || t.Sub(r.At) > w.place.Gap {
			continue
		}
		if !ok {
			low, high, ok = r.Temp, r.Temp, true
		}
		low, high = min(low, r.Temp), max(high, r.Temp)
	}
	return low, high, ok
}

func (w *heatWatch) turn(state *int, stands bool, t measure.Instant, make func() Condition) {
	switch {
	case !stands:
		w.end(state, t)
	case *state == 0:
		w.found = append(w.found, make())
		*state = len(w.found)
	}
}

func (w *heatWatch) end(state *int, t measure.Instant) {
	if *state > 0 {
		w.found[*state-1].Until = t
	}
	*state = 0
}

func (p *Place) tooCold(t measure.Instant, shown, limit measure.Temperature) Condition {
	c := Condition{Kind: OvenCold, Subject: p.Place.Name, Since: t, Priority: p.urgency(t)}
	c.What = fmt.Sprintf("%s %s reads %s, at least %s is asked for",
		p.Place.Kind, p.Place.Name, p.Words.temp(shown), p.Words.temp(limit))
	c.Consequence = p.bundlesText(t) + ": exposed as in the open while it is cold"
	c.Action = "bring it up to temperature or move the rods to another oven"
	return c
}

func (p *Place) tooHot(t measure.Instant, shown, limit measure.Temperature) Condition {
	c := Condition{Kind: OvenHot, Subject: p.Place.Name, Since: t, Priority: p.urgency(t)}
	c.What = fmt.Sprintf("%s %s reads %s, at most %s is allowed",
		p.Place.Kind, p.Place.Name, p.Words.temp(shown), p.Words.temp(limit))
	c.Consequence = p.bundlesText(t) + ": nothing proves the covering sound while it is too hot"
	if p.Place.Kind == inventory.BakeOven {
		c.Consequence = p.bundlesText(t) + ": QA decides on a bake that went too hot"
	}
	c.Action = "bring it down and check its control"
	return c
}

// urgency is high where something is at stake, low for an empty place.
func (p *Place) urgency(t measure.Instant) Priority {
	if p.bundles(t) == 0 {
		return Low
	}
	return High
}
