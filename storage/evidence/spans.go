package evidence

import (
	"slices"
	"sort"

	"ovenward/inventory/measure"
)

// Spans is what a place's readings show for one band over all time. The zero
// value is a place without a sensor: everything is unproven.
type Spans struct {
	list        []Span // without gaps between first and last
	first, last measure.Instant
	gap         measure.Duration
	tail        Finding // of the last reading, good until the gap is over
	tailReason  Reason
	tailTemp    measure.Temperature
}

// Between returns the spans from one instant to another, without gaps, as they
// look at the later one. The last reading speaks for the time after it as long
// as the next is not overdue; once it is, the whole time since is unproven.
func (s Spans) Between(from, to measure.Instant) []Span {
	return s.AppendBetween(nil, from, to)
}

// AppendBetween is Between into a slice that the caller uses again.
func (s Spans) AppendBetween(out []Span, from, to measure.Instant) []Span {
	if to <= from {
		return out
	}
	if s.last == 0 && len(s.list) == 0 {
		return append(out, Span{From: from, To: to, Finding: Unproven, Reason: NoSensor})
	}
	if from < s.first {
		cut := min(to, s.first)
		out = append(out, Span{From: from, To: cut, Finding: Unproven, Reason: NoSensor})
		from = cut
	}
	i := sort.Search(len(s.list), func(i int) bool { return s.list[i].To > from })
	for ; i < len(s.list) && s.list[i].From < to; i++ {
		piece := s.list[i]
		piece.From, piece.To = max(piece.From, from), min(piece.To, to)
		out = append(out, piece)
	}
	if to > s.last && to > from {
		out = append(out, s.after(max(from, s.last), to))
	}
	return out
}

// after judges the time since the last reading.
func (s Spans) after(from, to measure.Instant) Span {
	if to.Sub(s.last) > s.gap {
		return Span{From: from, To: to, Finding: Unproven, Reason: Silent}
	}
	return Span{From: from, To: to, Finding: s.tail, Reason: s.tailReason, Low: s.tailTemp, High: s.tailTemp}
}

// Place holds the tracks of a place's sensors and what they show, by band, so
// that many bundles can be judged against one place.
type Place struct {
	tracks []Track
	judged map[question][]Spans
}

type question struct {
	band Band
	gap  measure.Duration
}

// NewPlace returns a place with its sensors' tracks.
func NewPlace(tracks ...Track) *Place {
	return &Place{tracks: tracks, judged: map[question][]Spans{}}
}

// Last returns the newest reading of any sensor of the place.
func (p *Place) Last() (Reading, bool) {
	var newest Reading
	found := false
	for _, t := range p.tracks {
		if r, ok := t.Last(); ok && (!found || r.At > newest.At) {
			newest, found = r, true
		}
	}
	return newest, found
}

// Between returns what the place's sensors show together: out of range where
// any of them proves it, in range where one proves it and none denies it,
// unproven where none proves anything. It is not for use by two goroutines.
func (p *Place) Between(b Band, maxGap measure.Duration, from, to measure.Instant) []Span {
	if p == nil {
		return Spans{}.Between(from, to)
	}
	q := question{b, maxGap}
	all, ok := p.judged[q]
	if !ok {
		for _, t := range p.tracks {
			all = append(all, t.Judge(b, maxGap))
		}
		p.judged[q] = all
	}
	if len(all) == 0 {
		return Spans{}.Between(from, to)
	}
	out := all[0].Between(from, to)
	for _, s := range all[1:] {
		out = combine(out, s.Between(from, to))
	}
	return out
}

// combine joins two sensors' spans over the same stretch of time.
func combine(a, b []Span) []Span {
	var out []Span
	for len(a) > 0 && len(b) > 0 {
		piece := a[0]
		if weight(b[0].Finding) > weight(a[0].Finding) {
			piece = b[0]
		}
		piece.From, piece.To = max(a[0].From, b[0].From), min(a[0].To, b[0].To)
		out = extend(out, piece)
		if a[0].To == piece.To {
			a = a[1:]
		}
		if b[0].To == piece.To {
			b = b[1:]
		}
	}
	return out
}

func weight(f Finding) int {
	return [...]int{InRange: 1, TooCold: 3, TooHot: 2, Unproven: 0}[f]
}

// Readings returns the corrected readings of all the place's sensors from one
// instant to another, both included, in order of time.
func (p *Place) Readings(from, to measure.Instant) []Reading {
	if p == nil {
		return nil
	}
	var all []Reading
	for _, t := range p.tracks {
		all = append(all, t.window(from, to)...)
	}
	slices.SortStableFunc(all, byInstant)
	return all
}
