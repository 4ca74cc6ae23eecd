package evidence

import (
	"slices"

	"ovenward/inventory/measure"
)

// Track is one sensor's readings in order of time, corrected for its known
// error, each marked if it rests on a calibration that was past due.
type Track struct {
	readings []Reading
	unfit    []bool // nil where all are fit
}

// NewTrack returns the track of a sensor. Readings may come in any order and
// more than once; of two readings at one instant the first given counts.
func NewTrack(readings []Reading, calibrations []Calibration) Track {
	if !slices.IsSortedFunc(readings, byInstant) {
		readings = slices.Clone(readings)
		slices.SortStableFunc(readings, byInstant)
	}
	readings = slices.CompactFunc(slices.Clone(readings), func(a, b Reading) bool { return a.At == b.At })
	t := Track{readings: readings}
	if len(calibrations) > 0 {
		t.calibrate(calibrations)
	}
	return t
}

func byInstant(a, b Reading) int {
	switch {
	case a.At < b.At:
		return -1
	case a.At > b.At:
		return 1
	}
	return 0
}

func (t *Track) calibrate(calibrations []Calibration) {
	cs := slices.Clone(calibrations)
	slices.SortStableFunc(cs, func(a, b Calibration) int { return int(min(1, max(-1, a.At-b.At))) })
	t.unfit = make([]bool, len(t.readings))
	next := 0
	for i := range t.readings {
		r := &t.readings[i]
		for next < len(cs) && cs[next].At <= r.At {
			next++
		}
		if next == 0 {
			continue
		}
		c := cs[next-1]
		r.Temp -= c.Error
		t.unfit[i] = c.Due != 0 && r.At >= c.Due
	}
}

// Last returns the newest reading; false where there is none.
func (t Track) Last() (Reading, bool) {
	if len(t.readings) == 0 {
		return Reading{}, false
	}
	return t.readings[len(t.readings)-1], true
}

// Judge returns the spans that the track proves for a band, from its first
// reading to its last, with neighbours of one finding joined.
func (t Track) Judge(b Band, maxGap measure.Duration) Spans {
	var out []Span
	for i := 1; i < len(t.readings); i++ {
		out = extend(out, t.between(i-1, b, maxGap))
	}
	s := Spans{list: out, gap: maxGap}
	if last, ok := t.Last(); ok {
		s.last, s.first = last.At, t.readings[0].At
		s.tail = b.finding(last.Temp, last.Temp)
		s.tailTemp = last.Temp
		if t.unfit != nil && t.unfit[len(t.unfit)-1] {
			s.tail, s.tailReason = Unproven, CalibrationDue
		}
	}
	return s
}

// between judges the stretch from reading i to the next one.
func (t Track) between(i int, b Band, maxGap measure.Duration) Span {
	p, q := t.readings[i], t.readings[i+1]
	s := Span{From: p.At, To: q.At, Finding: Unproven}
	switch {
	case q.At.Sub(p.At) > maxGap:
		s.Reason = Gap
	case t.unfit != nil && (t.unfit[i] || t.unfit[i+1]):
		s.Reason = CalibrationDue
	default:
		s.Low, s.High = min(p.Temp, q.Temp), max(p.Temp, q.Temp)
		s.Finding = b.finding(s.Low, s.High)
	}
	return s
}

func (b Band) finding(low, high measure.Temperature) Finding {
	switch {
	case low < b.Min:
		return TooCold
	case b.HasMax && high > b.Max:
		return TooHot
	}
	return InRange
}

// extend appends a span, joined to the one before it where they say the same.
func extend(list []Span, s Span) []Span {
	if s.To <= s.From {
		return list
	}
	if n := len(list); n > 0 {
		l := &list[n-1]
		if l.Finding == s.Finding && l.Reason == s.Reason && l.To == s.From {
			l.To, l.Low, l.High = s.To, min(l.Low, s.Low), max(l.High, s.High)
			return list
		}
	}
	return append(list, s)
}

// window returns the readings from one instant to another, both included.
func (t Track) window(from, to measure.Instant) []Reading {
	at := func(r Reading, i measure.Instant) int { return byInstant(r, Reading{At: i}) }
	lo, _ := slices.BinarySearchFunc(t.readings, from, at)
	hi, _ := slices.BinarySearchFunc(t.readings, to+1, at)
	return t.readings[lo:hi]
}
