package exposure

import (
	"cmp"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// trail keeps the pieces of a fold, by history. A bundle that rods left twice
// is walked twice; the longer walk counts. A nil trail keeps nothing.
type trail struct {
	walks []walked
	at    int // the walk in progress
}

type walked struct {
	history *inventory.History
	until   measure.Instant
	pieces  []Piece
	runs    []Baked
	again   bool // a longer walk is known
}

// begin starts the walk of a history.
func (t *trail) begin(h *inventory.History, until measure.Instant) {
	if t == nil {
		return
	}
	again := false
	for i := range t.walks {
		o := &t.walks[i]
		if o.history == h && o.until < until {
			o.again = true
		}
		again = again || (o.history == h && o.until >= until)
	}
	t.at = len(t.walks)
	t.walks = append(t.walks, walked{history: h, until: until, again: again})
}

// add keeps a piece of time.
func (t *trail) add(v *visit, c piece, p *pair) {
	if t == nil || c.to <= c.from {
		return
	}
	n := Piece{Bundle: t.walks[t.at].history.Bundle, Place: v.stay.Place.Name, From: c.from, To: c.to,
		Kind: c.kind, Why: why(v, c) + c.noted(), Least: p.least.exposed, Most: p.most.exposed}
	if c.finding != evidence.Unproven && v.stay.Place.Kind.Heated() {
		n.Low, _, n.Proven = v.place.Extremes(c.from, c.to)
	}
	t.walks[t.at].pieces = append(t.walks[t.at].pieces, n)
}

// bake keeps a run in a bake oven, also as one piece.
func (t *trail) bake(v *visit, r *bake.Run, o *bake.Outcome, p *pair, counts *rules.BakeLimit) {
	t.add(v, piece{from: v.from, to: v.to, kind: Baking}, p)
	if t == nil || v.to <= v.from {
		return
	}
	w := &t.walks[t.at]
	w.pieces[len(w.pieces)-1].Why = o.Why
	w.runs = append(w.runs, Baked{Bundle: w.history.Bundle, Place: v.stay.Place.Name, Run: *r, Outcome: *o,
		Count: p.most.times(counts)})
}

// why says in words what a piece was counted as, and for what reason.
func why(v *visit, c piece) string {
	switch {
	case c.kind == Sealed:
		return "closed as it came"
	case c.kind == Packet:
		return "opened, left in its packet"
	case c.kind == Bagged:
		return "back in its pack: not counted"
	case c.finding == evidence.Unproven && c.reason != "":
		return string(c.reason)
	case c.kind == Kept || c.kind == Portable:
		return "proven in range"
	case c.finding == evidence.TooCold || c.finding == evidence.TooHot:
		return string(v.stay.Place.Kind) + ": " + c.finding.String()
	case v.stay.Place.Kind.Heated():
		return string(v.stay.Place.Kind) + ": the rule set gives no credit for it"
	}
	return string(v.stay.Place.Kind)
}

// noted is the note of a piece behind its reason.
func (c *piece) noted() string {
	if c.note == "" {
		return ""
	}
	return "; " + c.note
}

// pieces returns what was kept, in order of time.
func (t *trail) pieces() []Piece {
	if t == nil {
		return nil
	}
	var all []Piece
	for _, w := range t.walks {
		if !w.again {
			all = append(all, w.pieces...)
		}
	}
	slices.SortStableFunc(all, func(a, b Piece) int { return cmp.Compare(a.From, b.From) })
	return all
}

// runs returns the runs that were kept, in order of time.
func (t *trail) runs() []Baked {
	if t == nil {
		return nil
	}
	var all []Baked
	for _, w := range t.walks {
		if !w.again {
			all = append(all, w.runs...)
		}
	}
	slices.SortStableFunc(all, func(a, b Baked) int { return cmp.Compare(a.Run.From, b.Run.From) })
	return all
}
