package exposure

import (
	"slices"

	"ovenward/inventory"
	"ovenward/storage/bake"
	"ovenward/storage/evidence"
)

// run is time in a bake oven that is not settled yet, because what it was
// worth is known only when the rods have left.
type run struct {
	visit
	ended bool
}

// bakes reports whether a stay is a run in a bake oven.
func bakes(s *inventory.Stay) bool {
	return s.Bake != nil && s.Place.Kind == inventory.BakeOven && !s.Sealed
}

// continues reports whether the rods go on in the same run when a stay begins:
// they were split or joined in the oven.
func (r *run) continues(s *inventory.Stay) bool {
	return r.stay != nil && bakes(s) && s.Place == r.stay.Place && s.From == r.to
}

// laterRun is the run of rods that were joined in one oven: the shorter of both,
// or a new one where some come from elsewhere.
func laterRun(a, b run) run {
	if a.stay == nil || b.stay == nil {
		return run{}
	}
	if b.from > a.from {
		return b
	}
	return a
}

// load begins a run, or goes on with the one the rods are in.
func (w *fold) load(p *pair, v *visit) {
	if p.run.continues(v.stay) {
		p.run.to, p.run.left = v.to, v.left
	} else {
		w.settle(p, true)
		p.run = run{visit: *v}
	}
	p.run.ended = v.stay.To != 0 && v.stay.To <= v.to
	w.now = moment{Baking, Baking}
}

// settle judges the run that the rods are in or have left.
func (w *fold) settle(p *pair, ended bool) {
	if p.run.stay == nil {
		return
	}
	v := p.run.visit
	p.run = run{}
	b := w.baked(&v, ended)
	o := bake.Judge(b)
	if o.Result != bake.Valid && slices.ContainsFunc(b.Sensors, func(s evidence.Shown) bool { return s.Unfit > 0 }) {
		o.Why += "; " + string(evidence.CalibrationDue)
	}
	w.stage = o.Why
	p.least.baked(&o)
	p.most.baked(&o)
	w.trail.bake(&v, &b, &o, p, w.law.fewest(&p.most))
	if o.Result == bake.Short || o.Result == bake.Doubtful {
		w.wasted(p, &v)
	}
}

// baked is a run as the bake rules want to see it.
func (w *fold) baked(v *visit, ended bool) bake.Run {
	r := &w.law
	b := bake.Run{Order: *v.stay.Bake, From: v.from, MaxGap: r.Evidence.MaxGap, Units: r.Units,
		Lag: r.Recipe.Lag(*v.stay.Bake), Sensors: v.place.Shown(v.from, v.to)}
	b.Row, b.NoRow = r.Recipe.For(b.Order)
	if ended {
		b.To = v.to
	}
	return b
}

// wasted counts the time of a run that was no bake, as time in any oven is
// counted: only a valid bake stops a running clock.
func (w *fold) wasted(p *pair, v *visit) {
	now, t := w.now, w.trail
	w.trail = nil // the run is one piece
	if w.law.Hold != nil {
		w.heated(p, v, v.from, v.to, w.law.hold, Kept)
	} else {
		w.count(p, v, piece{from: v.from, to: v.to, kind: Open, finding: evidence.Unproven})
	}
	w.now, w.trail = now, t
}

// baked applies the outcome of a run in a bake oven.
func (c *clock) baked(o *bake.Outcome) {
	c.baking = o.Result == bake.Running
	if !c.baking {
		c.heated += o.Heated
	}
	switch o.Result {
	case bake.Valid:
		rebakes := c.rebakes + 1
		if c.firstBake {
			rebakes = c.rebakes
		}
		*c = clock{bakes: c.bakes + 1, every: c.every + 1, rebakes: rebakes, heated: c.heated, wet: c.wet, discard: c.discard, qa: c.qa}
	case bake.Short:
		c.needBake = true
	case bake.Doubtful:
		c.needBake, c.qa = true, "bake: "+o.Why
	case bake.Running: // nothing is decided before it ends
	}
}
