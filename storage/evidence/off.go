package evidence

import "ovenward/inventory/measure"

// Off is a time in which a place was switched off on purpose.
type Off struct{ From, To measure.Instant }

// ShutDown notes when the place was switched off on purpose, before it is asked
// anything. Two good readings, one before it and one after it, prove nothing of
// the time between them; readings taken during it prove what they show.
func (p *Place) ShutDown(off ...Off) { p.off = append(p.off, off...) }

// between reports whether the place was off at a time between two readings that
// were not both taken while it was.
func (o Off) between(first, second measure.Instant) bool {
	return o.From < second && first < o.To && (first < o.From || second > o.To)
}

// cut takes from spans what rests on a pair of readings that the shutdown lies
// between.
func (o Off) cut(list []Span, t Track) []Span {
	for _, edge := range []measure.Instant{o.From, o.To} {
		i := t.index(edge + 1)
		if i == 0 || i == len(t.readings) || !o.between(t.readings[i-1].At, t.readings[i].At) {
			continue
		}
		list = overlay(list, Span{From: t.readings[i-1].At, To: t.readings[i].At, Finding: Unproven, Reason: ShutDown})
	}
	return list
}

// overlay returns spans with another one in the place of what they say of its
// time. A gap stays a gap.
func overlay(list []Span, s Span) []Span {
	var out []Span
	add := func(p Span) {
		if p.From >= p.To {
			return
		}
		if n := len(out); n > 0 && out[n-1].says(p) {
			out[n-1].To = p.To
			return
		}
		out = append(out, p)
	}
	for _, p := range list {
		before, under, behind := p, p, p
		before.To = min(p.To, s.From)
		under.From, under.To = max(p.From, s.From), min(p.To, s.To)
		behind.From = max(p.From, s.To)
		if p.Reason != Gap {
			under.Finding, under.Reason = s.Finding, s.Reason
		}
		add(before)
		add(under)
		add(behind)
	}
	return out
}
