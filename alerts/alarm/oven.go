package alarm

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Probe is one sensor of a place with its readings, in order of time and as
// shown, and what checks of it found.
type Probe struct {
	Readings     []evidence.Reading
	Calibrations []evidence.Calibration
}

// Oven is the evidence for a heated place, which can be asked for as it was at
// an instant. A nil Oven has no sensor. It is not for use by two goroutines at
// once.
type Oven struct {
	probes    []Probe
	corrected [][]evidence.Reading
	known     map[int]*evidence.Place // by the number of readings
}

// NewOven returns the evidence of a place's probes.
func NewOven(probes ...Probe) *Oven {
	o := &Oven{probes: probes, known: map[int]*evidence.Place{}}
	for _, p := range probes {
		var list []evidence.Reading
		if n := len(p.Readings); n > 0 {
			one := evidence.NewPlace(evidence.NewTrack(p.Readings, p.Calibrations))
			list = one.Readings(p.Readings[0].At, p.Readings[n-1].At)
		}
		o.corrected = append(o.corrected, list)
	}
	return o
}

// mostKnown is the number of past states that are kept; each is a copy of all
// readings.
const mostKnown = 8

// Known returns the evidence from the readings that were taken by an instant.
func (o *Oven) Known(at measure.Instant) *evidence.Place {
	if o == nil || len(o.probes) == 0 {
		return nil
	}
	total := 0
	for _, p := range o.probes {
		total += after(p.Readings, at)
	}
	if p, ok := o.known[total]; ok {
		return p
	}
	tracks := make([]evidence.Track, len(o.probes))
	for i, p := range o.probes {
		tracks[i] = evidence.NewTrack(p.Readings[:after(p.Readings, at)], p.Calibrations)
	}
	if len(o.known) >= mostKnown {
		clear(o.known)
	}
	place := evidence.NewPlace(tracks...)
	o.known[total] = place
	return place
}

// Turns returns the instants after from and up to to at which what the place
// shows may change for one of the bands: a reading on another side of a limit
// than the one before it, the first one after a gap, the end of the time for
// which a last reading speaks, and a check of a probe taking effect.
func (o *Oven) Turns(bands []evidence.Band, gap measure.Duration, from, to measure.Instant) []measure.Instant {
	if o == nil {
		return nil
	}
	var turns []measure.Instant
	add := func(at measure.Instant) {
		if at > from && at <= to {
			turns = append(turns, at)
		}
	}
	for i, list := range o.corrected {
		for k := max(after(list, from.Add(-gap))-1, 0); k < len(list) && list[k].At <= to; k++ {
			r := list[k]
			if k == 0 || r.At.Sub(list[k-1].At) > gap || turned(bands, list[k-1].Temp, r.Temp) {
				add(r.At)
			}
			if k+1 == len(list) || list[k+1].At.Sub(r.At) > gap {
				add(r.At.Add(gap + measure.Microsecond))
			}
		}
		for _, c := range o.probes[i].Calibrations {
			addFirst(list, c.At, add)
			addFirst(list, c.Due, add)
		}
	}
	slices.Sort(turns)
	return slices.Compact(turns)
}

// addFirst adds the first reading that a check of the probe changes.
func addFirst(list []evidence.Reading, at measure.Instant, add func(measure.Instant)) {
	if i := after(list, at-1); at != 0 && i < len(list) {
		add(list[i].At)
	}
}

func turned(bands []evidence.Band, a, b measure.Temperature) bool {
	return slices.ContainsFunc(bands, func(band evidence.Band) bool { return side(band, a) != side(band, b) })
}

// side is below a band, in it, or above it.
func side(b evidence.Band, t measure.Temperature) int {
	switch {
	case t < b.Min:
		return -1
	case b.HasMax && t > b.Max:
		return 1
	}
	return 0
}

// after returns the number of readings up to an instant, itself included.
func after(list []evidence.Reading, at measure.Instant) int {
	i, _ := slices.BinarySearchFunc(list, at, func(r evidence.Reading, at measure.Instant) int {
		return cmp.Or(cmp.Compare(r.At, at), -1)
	})
	return i
}
