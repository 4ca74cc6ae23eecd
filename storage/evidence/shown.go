package evidence

import "ovenward/inventory/measure"

// Position says what of a place a sensor measures.
type Position string

// The positions. A sensor of which nothing is said is in the air.
const (
	InAir  Position = "air"
	InLoad Position = "load" // among the rods, in the middle of the pile
)

// Named returns the track with its sensor's name and position.
func (t Track) Named(sensor string, p Position) Track {
	t.sensor, t.position = sensor, p
	return t
}

// Shown is what one sensor showed over a time, without the readings from when it
// was past its calibration date, which are kept and prove nothing.
type Shown struct {
	Sensor   string
	Position Position
	Readings []Reading // in order of time, by the least that each may mean
	Most     []Reading // by the most; nil where that is the same
	Unfit    int       // readings left out
}

// Shown returns what each of the place's sensors showed from one instant to
// another, both included. A nil place shows nothing.
func (p *Place) Shown(from, to measure.Instant) []Shown {
	if p == nil {
		return nil
	}
	all := make([]Shown, 0, len(p.tracks))
	for _, t := range p.tracks {
		all = append(all, t.shown(from, to))
	}
	return all
}

func (t Track) shown(from, to measure.Instant) Shown {
	s := Shown{Sensor: t.sensor, Position: t.position}
	first, end := t.window(from, to)
	if len(t.checked) == 0 {
		s.Readings = t.readings[first:end]
		return s
	}
	doubtful := false
	for i := first; i < end; i++ {
		e, r := t.era(i), t.readings[i]
		if e.unfit {
			s.Unfit++
			continue
		}
		s.Readings = append(s.Readings, Reading{At: r.At, Temp: r.Temp - e.over})
		s.Most = append(s.Most, Reading{At: r.At, Temp: r.Temp - e.under})
		doubtful = doubtful || e.over != e.under
	}
	if !doubtful {
		s.Most = nil
	}
	return s
}
