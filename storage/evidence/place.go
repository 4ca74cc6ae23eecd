package evidence

import (
	"slices"

	"ovenward/inventory/measure"
)

// Place holds the tracks of a place's sensors and what they show, by band, so
// that many bundles can be judged against one place. It is not for use by two
// goroutines at once. A nil Place has no sensor.
type Place struct {
	tracks []Track
	off    []Off
	judged []judged
}

// judged is what the sensors show for one band. A place is asked about very
// few of them, so a list is searched faster than a map.
type judged struct {
	band Band
	gap  measure.Duration
	all  []spans // by sensor
}

// NewPlace returns a place with its sensors' tracks.
func NewPlace(tracks ...Track) *Place { return &Place{tracks: tracks} }

// Last returns the newest reading of any sensor of the place; false where
// there is none.
func (p *Place) Last() (Reading, bool) {
	var newest Reading
	found := false
	if p == nil {
		return newest, found
	}
	for _, t := range p.tracks {
		if r, ok := t.Last(); ok && (!found || r.At > newest.At) {
			newest, found = r, true
		}
	}
	return newest, found
}

// Between returns what the place's sensors show together from one instant to
// another, of what left it at the later one: out of range where any sensor
// proves it, in range where one proves it and none denies it, unproven where
// none proves anything.
func (p *Place) Between(b Band, maxGap measure.Duration, from, to measure.Instant) []Span {
	var all []Span
	p.Each(b, maxGap, from, to, to, func(s Span) { all = append(all, s) })
	return all
}

// Each calls f with the spans that Between returns, in order of time, of what
// was in the place until it left at an instant not before to.
func (p *Place) Each(b Band, maxGap measure.Duration, from, to, left measure.Instant, f func(Span)) {
	all := p.judge(b, maxGap)
	switch {
	case to <= from:
	case len(all) == 0:
		(&spans{}).each(from, to, left, f)
	case len(all) == 1:
		all[0].each(from, to, left, f)
	default:
		for _, s := range together(all, from, to, left) {
			f(s)
		}
	}
}

// together returns what several sensors show.
func together(all []spans, from, to, left measure.Instant) []Span {
	var sum []Span
	for i := range all {
		var own []Span
		all[i].each(from, to, left, func(s Span) { own = append(own, s) })
		if i == 0 {
			sum = own
			continue
		}
		sum = combine(sum, own)
	}
	return sum
}

// judge returns what each sensor shows for a band, from memory if it was asked
// before.
func (p *Place) judge(b Band, maxGap measure.Duration) []spans {
	if p == nil {
		return nil
	}
	for i := range p.judged {
		if p.judged[i].band == b && p.judged[i].gap == maxGap {
			return p.judged[i].all
		}
	}
	j := judged{band: b, gap: maxGap}
	for _, t := range p.tracks {
		j.all = append(j.all, t.judge(b, maxGap, p.off))
	}
	p.judged = append(p.judged, j)
	return j.all
}

// combine joins two sensors' spans over the same stretch of time.
func combine(a, b []Span) []Span {
	var out []Span
	for len(a) > 0 && len(b) > 0 {
		piece := a[0]
		if b[0].Finding.weight() > a[0].Finding.weight() {
			piece = b[0]
		}
		piece.From, piece.To = max(a[0].From, b[0].From), min(a[0].To, b[0].To)
		if n := len(out); n > 0 && out[n-1].says(piece) {
			out[n-1].To = piece.To
		} else {
			out = append(out, piece)
		}
		if a[0].To == piece.To {
			a = a[1:]
		}
		if b[0].To == piece.To {
			b = b[1:]
		}
	}
	return out
}

// Readings returns the readings of all the place's sensors from one instant to
// another, both included, in order of time, each by the least that it may mean.
func (p *Place) Readings(from, to measure.Instant) []Reading {
	if p == nil {
		return nil
	}
	var all []Reading
	for _, t := range p.tracks {
		first, end := t.window(from, to)
		for i := first; i < end; i++ {
			all = append(all, Reading{At: t.readings[i].At, Temp: t.low(i)})
		}
	}
	slices.SortStableFunc(all, byInstant)
	return all
}

// Extremes returns the lowest and the highest that the readings behind a stretch
// of time may mean: those in it and those next to it. The last result is false
// where there is none.
func (p *Place) Extremes(from, to measure.Instant) (low, high measure.Temperature, ok bool) {
	if p == nil {
		return 0, 0, false
	}
	for _, t := range p.tracks {
		first, end := t.around(from, to)
		for i := first; i < end; i++ {
			if !ok {
				low, high, ok = t.low(i), t.high(i), true
			}
			low, high = min(low, t.low(i)), max(high, t.high(i))
		}
	}
	return low, high, ok
}
