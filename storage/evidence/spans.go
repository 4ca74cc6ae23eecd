package evidence

import (
	"slices"
	"sort"

	"ovenward/inventory/measure"
)

// spans is what one sensor's readings show for one band over all time. The
// zero value is a place without a sensor: everything is unproven.
type spans struct {
	track Track
	band  Band
	gap   measure.Duration
	off   []Off  // when the place was shut down
	list  []Span // from the first reading to the last, without gaps
}

// each calls f with the spans from one instant to another, in order, without
// gaps or overlaps, as they concern what was in the place until it left. Where
// no reading follows the last one before leaving within the longest gap, that
// one speaks alone: for the whole time since it if it was not older than the gap
// allows when the rods left, else for none of it.
func (s *spans) each(from, to, left measure.Instant, f func(Span)) {
	readings := s.track.readings
	if len(readings) == 0 || to <= readings[0].At {
		f(Span{From: from, To: to, Finding: Unproven, Reason: NoSensor})
		return
	}
	if first := readings[0].At; from < first {
		f(Span{From: from, To: first, Finding: Unproven, Reason: NoSensor})
		from = first
	}
	cut, alone := s.alone(to, left)
	alone.From, alone.To = max(cut, from), to
	i := sort.Search(len(s.list), func(i int) bool { return s.list[i].To > from })
	for ; from < cut && i < len(s.list) && s.list[i].From < cut; i++ {
		piece := s.list[i]
		piece.From, piece.To = max(piece.From, from), min(piece.To, cut)
		if piece.To == cut && alone.says(piece) {
			piece.To, alone.From = to, to
		}
		f(piece)
	}
	if alone.From < alone.To {
		f(alone)
	}
}

// alone returns up to which instant pairs of readings decide, and what the
// reading at that instant shows of the time from there to to.
func (s *spans) alone(to, left measure.Instant) (measure.Instant, Span) {
	readings := s.track.readings
	last := len(readings) - 1
	if to <= readings[last].At && !s.gapAt(to) {
		return to, Span{}
	}
	p := s.track.index(left+1) - 1
	at := readings[p].At
	switch {
	case at >= to:
		return to, Span{}
	case left.Sub(at) <= s.gap:
		return at, s.lone(p, to)
	case p < last:
		return to, Span{}
	}
	return at, Span{Finding: Unproven, Reason: Silent}
}

// gapAt reports whether the stretch before an instant is a gap.
func (s *spans) gapAt(to measure.Instant) bool {
	i := sort.Search(len(s.list), func(i int) bool { return s.list[i].To >= to })
	return i < len(s.list) && s.list[i].Reason == Gap
}

// lone is what one reading shows by itself of the time up to an instant.
func (s *spans) lone(i int, to measure.Instant) Span {
	at := s.track.readings[i].At
	switch {
	case s.track.isUnfit(i):
		return Span{Finding: Unproven, Reason: CalibrationDue}
	case slices.ContainsFunc(s.off, func(o Off) bool { return o.between(at, to) }):
		return Span{Finding: Unproven, Reason: ShutDown}
	}
	return Span{Finding: s.band.finding(s.track.low(i), s.track.high(i))}
}
