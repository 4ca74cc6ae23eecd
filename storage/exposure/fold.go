package exposure

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// fold walks a history and carries both readings of missing evidence.
type fold struct {
	facts   *Facts
	law     law
	at      measure.Instant
	both    pair
	here    visit          // the last stay that has begun
	stay    inventory.Stay // the same, if it is going on at the instant
	now     moment
	stage   string         // how far a run in a bake oven is
	origins map[split]pair // states computed before, for rods that were parted and joined
	trail   *trail         // only when every piece is asked for
}

// pair is the state under the two readings: unproven time as kept, and as
// open. A run in a bake oven is settled only when the rods have left it.
type pair struct {
	least, most clock
	run         run
}

// moment is the kind of the present time under the two readings.
type moment struct{ least, most Kind }

// split is what the state of the rods a bundle began with depends on.
type split struct {
	history *inventory.History
	left    measure.Instant
}

func (w *fold) judge() Judgement {
	w.both = w.walk(w.facts.History, w.at, w.at)
	w.arrive()
	return w.judgement()
}

// arrive ends the walk at the instant. What begins then (a reading back in
// range, say) is known at once, as the beginning of a stay is.
func (w *fold) arrive() {
	v := &w.here
	switch {
	case v.stay == nil:
		return
	case v.stay.To != 0 && v.stay.To < w.at: // nothing is left of the bundle
		w.settle(&w.both, true)
		w.now = moment{}
		return
	case bakes(v.stay):
		w.settle(&w.both, w.both.run.ended)
	case v.stay.To != w.at && v.from < w.at:
		w.cut(&w.both, v, w.at, w.at)
	}
	if v.stay.To != w.at {
		w.present(&w.both.least, v, w.now.least)
		w.present(&w.both.most, v, w.now.most)
	}
	w.stay = *v.stay
}

// walk returns the state of a history at an instant. Rods that stay where they
// are while their bundle is split or joined leave the place only later.
func (w *fold) walk(h *inventory.History, until, left measure.Instant) pair {
	p := w.origin(h, until, left)
	w.trail.begin(h, until)
	events := h.Events
	for i := range h.Stays {
		s := &h.Stays[i]
		if s.From > until {
			break
		}
		events = w.happen(&p, events, s.From)
		v := visit{stay: s, place: w.facts.Places[s.Place.Name],
			from: s.From, to: until, left: leaves(h, i, until, left)}
		if s.To != 0 && s.To < until {
			v.to = s.To
		}
		events = w.visit(&p, v, events)
		w.here = v
	}
	w.happen(&p, events, until)
	return p
}

// origin returns the state rods begin with: that of the bundle they were split
// from, the worst of those that were joined, or a new one.
func (w *fold) origin(h *inventory.History, until, left measure.Instant) pair {
	if len(h.Origins) == 0 {
		c := clock{firstBake: w.dryFirst(h)}
		return pair{least: c, most: c}
	}
	if len(h.Stays) > 0 {
		left = leaves(h, 0, until, left)
	}
	key := split{h, min(left, w.overdue(h.Origins))}
	if p, ok := w.origins[key]; ok {
		return p
	}
	p := w.parent(h, h.Origins[0], key.left)
	for _, o := range h.Origins[1:] {
		q := w.parent(h, o, key.left)
		p = pair{least: worst(p.least, q.least), most: worst(p.most, q.most), run: laterRun(p.run, q.run)}
	}
	if w.origins == nil {
		w.origins = map[split]pair{}
	}
	w.origins[key] = p
	return p
}

// dryFirst reports whether stock is baked before its first use: because its
// package was not tight, or only because it came damaged.
func (w *fold) dryFirst(h *inventory.History) bool {
	row := w.law.FirstUse
	if row == nil {
		return false
	}
	if row.Damaged {
		return len(h.Stays) > 0 && !h.Stays[0].Sealed
	}
	return !h.Tight
}

// overdue returns an instant from which on it makes no difference how much
// later the rods left: a reading before they were parted or joined would have
// been followed by the next.
func (w *fold) overdue(origins []inventory.Origin) measure.Instant {
	latest := origins[0].Until
	for _, o := range origins[1:] {
		latest = max(latest, o.Until)
	}
	return latest.Add(w.law.Evidence.MaxGap + 1)
}

// parent returns the state in which rods left a bundle.
func (w *fold) parent(h *inventory.History, o inventory.Origin, left measure.Instant) pair {
	if !remains(h, o) {
		left = o.Until
	}
	p := w.walk(o.History, o.Until, left)
	if len(h.Stays) == 0 || !p.run.continues(&h.Stays[0]) {
		w.settle(&p, true)
	}
	return p
}

// happen applies the events up to an instant and returns the rest.
func (w *fold) happen(p *pair, events []inventory.Event, until measure.Instant) []inventory.Event {
	for len(events) > 0 && events[0].At <= until {
		p.least.happens(&events[0])
		p.most.happens(&events[0])
		events = events[1:]
	}
	return events
}

// remains reports whether rods stayed in the place where they were when their
// bundle was split off or joined.
func remains(h *inventory.History, o inventory.Origin) bool {
	if len(h.Stays) == 0 || h.Stays[0].From != o.Until {
		return false
	}
	for i := range o.History.Stays {
		s := &o.History.Stays[i]
		if s.From <= o.Until && (s.To == 0 || s.To >= o.Until) && s.Place == h.Stays[0].Place {
			return true
		}
	}
	return false
}

// leaves returns when the rods left the place of a stay: at the end of the last
// stay in a row there, or, if that is still going on at until, at left.
func leaves(h *inventory.History, i int, until, left measure.Instant) measure.Instant {
	for ; ; i++ {
		s := &h.Stays[i]
		switch {
		case s.To == 0 || s.To >= until:
			return left
		case i+1 == len(h.Stays) || h.Stays[i+1].Place != s.Place || h.Stays[i+1].From != s.To:
			return s.To
		}
	}
}
