package exposure

import (
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// fold walks a history once and carries both readings of missing evidence.
type fold struct {
	facts    Facts
	at       measure.Instant
	explain  bool
	both     pair
	pieces   []Piece
	last     inventory.Stay // the stay at the instant
	lastOK   bool
	kind     Kind // of the last piece, open where it is unproven
	unproven bool // whether it is
}

// pair is the state under the two readings: unproven time as kept, and as
// open.
type pair struct{ least, most clock }

func newFold(f Facts, at measure.Instant, explain bool) *fold {
	w := &fold{facts: f, at: at, explain: explain}
	w.both = w.walk(f.History, at)
	return w
}

// walk returns the state of a history at an instant.
func (w *fold) walk(h *inventory.History, until measure.Instant) pair {
	p := w.origin(h)
	events := h.Events
	for _, s := range h.Stays {
		if s.From > until {
			break
		}
		events = w.happen(&p, events, s.From)
		end := until
		if s.To != 0 && s.To < until {
			end = s.To
		}
		p.begin(s)
		events = w.stay(&p, h, s, events, end)
		if h == w.facts.History {
			w.last, w.lastOK = s, s.To == 0 || s.To > until || s.From == until || s.To == until
		}
	}
	w.happen(&p, events, until)
	return p
}

// origin returns the state rods begin with: that of the bundle they were split
// from, the worst of those that were joined, or a new one.
func (w *fold) origin(h *inventory.History) pair {
	if len(h.Origins) == 0 {
		c := clock{firstBake: w.facts.Ruling.FirstUse != nil && !h.Tight}
		return pair{c, c}
	}
	p := w.walk(h.Origins[0].History, h.Origins[0].Until)
	for _, o := range h.Origins[1:] {
		q := w.walk(o.History, o.Until)
		p = pair{worst(p.least, q.least), worst(p.most, q.most)}
	}
	return p
}

// happen applies the events up to an instant and returns the rest.
func (w *fold) happen(p *pair, events []inventory.Event, until measure.Instant) []inventory.Event {
	for len(events) > 0 && events[0].At <= until {
		p.least.event(events[0])
		p.most.event(events[0])
		events = events[1:]
	}
	return events
}

// stay applies a stay up to its end, in pieces of one kind and with the events
// that fall into it.
func (w *fold) stay(p *pair, h *inventory.History, s inventory.Stay, events []inventory.Event,
	end measure.Instant) []inventory.Event {
	if s.Bake != nil && s.Place.Kind == inventory.BakeOven && !s.Sealed {
		w.baking(p, h, s, end)
		return w.happen(p, events, end)
	}
	for from := s.From; ; {
		cut := end
		if len(events) > 0 && events[0].At > from && events[0].At < end {
			cut = events[0].At
		}
		for _, piece := range w.cut(s, from, cut) {
			w.count(p, h, s, piece)
		}
		if events = w.happen(p, events, cut); cut == end {
			return events
		}
		from = cut
	}
}

// piece is a stretch of one stay with one kind of time.
type piece struct {
	from, to measure.Instant
	kind     Kind
	why      string
	span     evidence.Span
}

// cut returns the pieces of a stay. A stay that has only just begun is a piece
// without length, so that what its beginning means (a hold broken, a hold
// begun) is known at once.
func (w *fold) cut(s inventory.Stay, from, to measure.Instant) []piece {
	if to <= from {
		p := w.cut(s, from, from+1)[0]
		p.to = from
		return []piece{p}
	}
	r := w.facts.Ruling
	whole := func(k Kind, why string) []piece { return []piece{{from: from, to: to, kind: k, why: why}} }
	switch {
	case s.Sealed:
		return whole(Sealed, "closed as it came")
	case s.Place.Kind == inventory.Packet && r.Packet != nil:
		return whole(Packet, "opened, left in its packet")
	case s.Place.Kind == inventory.HoldingOven && r.Hold != nil:
		return w.heated(s, from, to, r.Hold.Band(), func(evidence.Span) Kind { return Kept })
	case s.Place.Kind == inventory.Quiver && (r.Quiver != nil):
		return w.quiver(s, from, to)
	case s.Place.Kind == inventory.HoldingOven:
		return whole(Open, "the rule set has no hold for this stock")
	case s.Place.Kind == inventory.Quiver:
		return whole(Open, "the rule set gives a quiver no credit")
	}
	return whole(Open, string(s.Place.Kind))
}

// heated cuts time in a heated place by what its readings prove.
func (w *fold) heated(s inventory.Stay, from, to measure.Instant, b evidence.Band, good func(evidence.Span) Kind) []piece {
	spans := w.facts.Places[s.Place.Name].Between(b, w.facts.Ruling.Evidence.MaxGap, from, to)
	out := make([]piece, 0, len(spans))
	for _, sp := range spans {
		p := piece{from: sp.From, to: sp.To, span: sp}
		switch sp.Finding {
		case evidence.InRange:
			p.kind, p.why = good(sp), "proven in range"
		case evidence.Unproven:
			p.kind, p.why = Unproven, string(sp.Reason)
			if w.facts.Ruling.Evidence.Missing == rules.MissingOpen {
				p.kind = Open
			}
		default:
			p.kind, p.why = Open, fmt.Sprintf("%s: %s", s.Place.Kind, sp.Finding)
		}
		out = append(out, p)
	}
	return out
}

// quiver cuts time in a portable oven: as kept where it is as hot as a holding
// oven and the rule counts it as one, as portable time where it is as hot as
// its own row asks.
func (w *fold) quiver(s inventory.Stay, from, to measure.Instant) []piece {
	q, hold := w.facts.Ruling.Quiver, w.facts.Ruling.Hold
	asHold := q.AsHold && hold != nil
	credit := func(evidence.Span) Kind { return Portable }
	if q.Total == 0 {
		credit = func(evidence.Span) Kind { return Open }
	}
	if !asHold {
		return w.heated(s, from, to, evidence.Band{Min: q.Min.Temperature}, credit)
	}
	var out []piece
	for _, p := range w.heated(s, from, to, hold.Band(), func(evidence.Span) Kind { return Kept }) {
		if p.span.Finding == evidence.TooCold {
			out = append(out, w.heated(s, p.from, p.to, evidence.Band{Min: q.Min.Temperature}, credit)...)
			continue
		}
		out = append(out, p)
	}
	return out
}

// count applies one piece to both folds.
func (w *fold) count(p *pair, h *inventory.History, s inventory.Stay, c piece) {
	least, most := c.kind, c.kind
	if c.kind == Unproven {
		least, most = w.asKept(s), Open
	}
	excursion := c.kind == Open && s.Place.Kind == inventory.HoldingOven
	p.least.pass(least, c.from, c.to, w.facts.Ruling, excursion)
	p.most.pass(most, c.from, c.to, w.facts.Ruling, excursion)
	w.kind, w.unproven = most, c.kind == Unproven
	w.note(h, s, c, *p)
}

// asKept is what unproven time in a place would be if it had been in range.
func (w *fold) asKept(s inventory.Stay) Kind {
	q := w.facts.Ruling.Quiver
	if s.Place.Kind == inventory.Quiver && q != nil && !q.AsHold {
		return Portable
	}
	return Kept
}

func (w *fold) note(h *inventory.History, s inventory.Stay, c piece, p pair) {
	if !w.explain || c.to == c.from {
		return
	}
	n := Piece{Bundle: h.Bundle, Place: s.Place.Name, From: c.from, To: c.to, Kind: c.kind, Why: c.why,
		Least: p.least.shown(), Most: p.most.shown()}
	if c.span.To != 0 && c.span.Finding != evidence.Unproven {
		n.Low, n.Proven = c.span.Low, true
	}
	w.pieces = append(w.pieces, n)
}

// baking judges a stay in a bake oven at its end.
func (w *fold) baking(p *pair, h *inventory.History, s inventory.Stay, end measure.Instant) {
	r := w.facts.Ruling
	run := bake.Run{Order: *s.Bake, From: s.From, MaxGap: r.Evidence.MaxGap, LoadLag: r.Bakes.LoadLag, Row: r.Bake,
		Units: r.Units, Readings: slices.Clip(w.facts.Places[s.Place.Name].Readings(s.From, end))}
	if s.To != 0 && s.To <= end {
		run.To = s.To
	}
	outcome := bake.Judge(run)
	p.least.baked(outcome, r)
	p.most.baked(outcome, r)
	w.kind, w.unproven = Baking, false
	w.note(h, s, piece{from: s.From, to: end, kind: Baking, why: outcome.Why}, *p)
}
