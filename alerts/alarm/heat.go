package alarm

import (
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// heat returns when the place was too cold and too hot: from when it had been out
// of range for as long as the delay says, until it has been back by more than the
// deadband for as long. A change of what is in it is judged by the newest readings
// as long as they speak for the present; silence ends nothing.
func (p *Place) heat(at measure.Instant) []Condition {
	readings := p.readings(at)
	w := heatWatch{place: p, last: make([]*evidence.Reading, p.probes())}
	w.cold, w.hot = excursion{delays: p.Cold}, excursion{delays: p.Hot}
	for _, t := range p.moments(readings, at) {
		for len(readings) > 0 && readings[0].At <= t {
			w.last[readings[0].probe] = &readings[0].Reading
			readings = readings[1:]
		}
		w.settle(t - 1)
		w.look(t)
	}
	w.settle(at)
	return append(w.cold.found, w.hot.found...)
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
	band      *evidence.Band      // that was asked for at the moment before
	before    measure.Instant     // that moment, if something was shown at it; else zero
	cold, hot excursion
}

// settle lets what was on its way by an instant begin and cease.
func (w *heatWatch) settle(by measure.Instant) {
	w.cold.settle(by, w.place.tooCold)
	w.hot.settle(by, w.place.tooHot)
}

func (w *heatWatch) look(t measure.Instant) {
	band := w.place.band(t)
	same := band != nil && w.band != nil && *band == *w.band
	w.band = band
	if band == nil {
		w.cold.end(t)
		w.hot.end(t)
		w.before = 0
		return
	}
	low, high, ok := w.extremes(t)
	if !ok {
		w.before = 0
		return
	}
	// The lower of two readings speaks for the time between them, as it does where
	// exposure is judged. What another asked of the place does not reach back.
	start := t
	if same && w.before != 0 {
		start = w.before
	}
	w.before = t
	w.cold.most, w.hot.most = 0, 0
	if band.HasMax {
		w.cold.most = (band.Max - band.Min) / 2
		w.hot.most = w.cold.most
	}
	w.cold.see(t, start, band.Min-low, low, band.Min, !same)
	if band.HasMax {
		w.hot.see(t, start, high-band.Max, high, band.Max, !same)
	} else {
		w.hot.end(t)
	}
	w.settle(t)
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
