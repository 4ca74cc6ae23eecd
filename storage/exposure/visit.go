package exposure

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// visit is a stay, as far as it is judged.
type visit struct {
	stay     *inventory.Stay
	from, to measure.Instant
	left     measure.Instant // when the rods left the place, or until when they are judged
	place    *evidence.Place
}

// piece is a stretch of one stay with one kind of time.
type piece struct {
	from, to measure.Instant
	kind     Kind
	finding  evidence.Finding
	reason   evidence.Reason
	note     string // what else it did
}

// visit applies a stay, in pieces of one kind and with the events that fall
// into it. It returns the events that are left.
func (w *fold) visit(p *pair, v visit, events []inventory.Event) []inventory.Event {
	if bakes(v.stay) {
		w.load(p, &v)
		return w.happen(p, events, v.to)
	}
	w.settle(p, true)
	if v.stay.Returned && w.law.owes() {
		p.least.comeBack(v.from)
		p.most.comeBack(v.from)
	}
	for from := v.from; ; {
		cut := v.to
		if len(events) > 0 && events[0].At > from && events[0].At < v.to {
			cut = events[0].At
		}
		w.cut(p, &v, from, cut)
		if events = w.happen(p, events, cut); cut == v.to {
			return events
		}
		from = cut
	}
}

// cut counts the pieces of a stay. A stay that has only just begun is a piece
// without length, so that what its beginning means (a hold broken, a hold
// begun) is known at once.
func (w *fold) cut(p *pair, v *visit, from, to measure.Instant) {
	whole := piece{from: from, to: to, kind: Open}
	switch {
	case v.stay.Sealed:
		whole.kind = Sealed
	case v.stay.Place.Kind == inventory.Packet && w.law.Exposure.PausesInPack():
		whole.kind = Bagged
	case v.stay.Place.Kind == inventory.Packet && w.law.Packet != nil:
		whole.kind = Packet
	case v.stay.Place.Kind == inventory.Hopper && w.law.Hopper != nil:
		whole.kind = Hopper
	case v.stay.Place.Kind == inventory.HoldingOven && w.law.Hold != nil:
		w.heated(p, v, from, to, w.law.hold, Kept)
		return
	case v.stay.Place.Kind == inventory.Quiver && w.law.Quiver != nil:
		w.quiver(p, v, from, to)
		return
	}
	w.count(p, v, whole)
}

// heated counts time in a heated place by what its readings prove.
func (w *fold) heated(p *pair, v *visit, from, to measure.Instant, b evidence.Band, good Kind) {
	w.each(v, b, from, to, func(s evidence.Span) { w.count(p, v, w.judged(&s, to, good)) })
}

// each calls f with the spans of a stretch, or of its first microsecond where
// it has no length.
func (w *fold) each(v *visit, b evidence.Band, from, to measure.Instant, f func(evidence.Span)) {
	v.place.Each(b, w.law.Evidence.MaxGap, from, max(to, from+1), v.left, f)
}

// judged is what a span makes of time, where time in range is of a kind.
func (w *fold) judged(s *evidence.Span, to measure.Instant, good Kind) piece {
	c := piece{from: s.From, to: min(s.To, to), kind: Open, finding: s.Finding, reason: s.Reason}
	switch {
	case s.Finding == evidence.InRange:
		c.kind = good
	case s.Finding == evidence.Unproven && w.law.Evidence.Missing != rules.MissingOpen:
		c.kind = Unproven
	}
	return c
}

// quiver counts time in a portable oven: as kept where it is as hot as a
// holding oven and the row lets it be one, as portable time where it is as hot
// as its own row asks.
func (w *fold) quiver(p *pair, v *visit, from, to measure.Instant) {
	if !w.law.quiverHolds() {
		w.heated(p, v, from, to, w.law.quiver, w.law.credited())
		return
	}
	w.each(v, w.law.hold, from, to, func(s evidence.Span) {
		if s.Finding == evidence.TooCold {
			w.heated(p, v, s.From, min(s.To, to), w.law.quiver, w.law.credited())
			return
		}
		w.count(p, v, w.judged(&s, to, Kept))
	})
}

// count applies one piece to both folds.
func (w *fold) count(p *pair, v *visit, c piece) {
	w.now = moment{c.kind, c.kind}
	if c.kind == Unproven {
		w.now = moment{w.hoped(v), Open}
	}
	if w.law.clocked {
		if w.excursion(v, &c) {
			p.least.qa, p.most.qa = excursion, excursion
		}
		whole := p.most.short == ""
		w.pass(&p.least, v, w.now.least, c.from, c.to)
		w.pass(&p.most, v, w.now.most, c.from, c.to)
		if whole && p.most.short != "" {
			c.note = "column B ends: " + p.most.short
		}
	}
	w.trail.add(v, c, p)
}

const excursion = "the oven was out of range with these rods in it"

// excursion reports whether readings prove the holding oven out of range and
// the rule set wants QA to know.
func (w *fold) excursion(v *visit, c *piece) bool {
	return (c.finding == evidence.TooCold || c.finding == evidence.TooHot) && c.to > c.from &&
		w.law.Oven.Excursion == rules.ExcursionQAHold && v.stay.Place.Kind == inventory.HoldingOven
}

// hoped is what unproven time in a place would be if it had been in range.
func (w *fold) hoped(v *visit) Kind {
	if v.stay.Place.Kind == inventory.Quiver && !w.law.quiverHolds() {
		return w.law.credited()
	}
	return Kept
}
