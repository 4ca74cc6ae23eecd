package alarm

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
)

// out is what stands for rods out on a slip. They are overdue whatever else is
// wrong with them. Due exactly when they come back is not overdue: the stay
// ends with that instant.
func (r *Rods) out(i int, j exposure.Judgement) []Condition {
	slip := r.History.Stays[i].Slip
	begin := r.since(i, func(s inventory.Stay) bool { return s.Slip == slip })
	var found []Condition
	if since, until, ok := near(j, begin); ok {
		found = append(found, r.slipNear(slip, since, until, j))
	}
	if reached(j.Due, j.At) {
		found = append(found, r.slipPast(slip, max(j.Due, begin), j))
	}
	return found
}

// open is what stands for rods that lie open in the crib, outside of any oven:
// one that is cold raises one alarm for all that is in it. Rods that only a
// bake can save have no limit left to watch.
func (r *Rods) open(i int, j exposure.Judgement) []Condition {
	begin := r.since(i, func(s inventory.Stay) bool {
		return s.Slip == "" && !s.Sealed && !s.Place.Kind.Heated()
	})
	place := r.History.Stays[i].Place
	var found []Condition
	if since, until, ok := near(j, begin); ok && r.usable(since) {
		found = append(found, r.openNear(place, since, until, j))
	}
	if reached(j.Due, j.At) && j.Due >= begin && r.usable(j.Due) {
		found = append(found, r.openPast(place, j.Due, j))
	}
	return found
}

// holding is what stands for rods in an oven in the crib: the hold that they
// completed there, and the days that they may lie there.
func (r *Rods) holding(s inventory.Stay, j exposure.Judgement) []Condition {
	return append(r.held(s, j), r.lying(s.Place, j)...)
}

// lying is what stands for rods near and past the days that they may lie in
// holding.
func (r *Rods) lying(place inventory.Place, j exposure.Judgement) []Condition {
	d := j.Days
	var found []Condition
	if reached(d.Warn, j.At) && d.Warn != d.Due {
		c := r.daysNear(place, d)
		if reached(d.Due, j.At) {
			c.Until = d.Due
		}
		found = append(found, c)
	}
	if reached(d.Due, j.At) {
		found = append(found, r.daysPast(place, d))
	}
	return found
}

// held is the hold that rods completed where they are. One that the rods before
// them completed was theirs.
func (r *Rods) held(s inventory.Stay, j exposure.Judgement) []Condition {
	if j.Held <= r.Bundle.Born || j.Held > j.At {
		return nil
	}
	if then := r.Known(j.Held); then.Held != j.Held || then.Verdict != inventory.Ready {
		return nil
	}
	return []Condition{r.holdComplete(s.Place, j)}
}

// near returns from when to when rods near their limit that have been exposed
// since begin; the last result is false where they do not, or are past it as
// soon.
func near(j exposure.Judgement, begin measure.Instant) (since, until measure.Instant, ok bool) {
	since = max(j.Warn, begin)
	if !reached(j.Warn, j.At) || (j.Due != 0 && since >= j.Due) {
		return 0, 0, false
	}
	if reached(j.Due, j.At) {
		until = j.Due
	}
	return since, until, true
}

func reached(mark, at measure.Instant) bool { return mark != 0 && mark <= at }

// usable reports whether the rods could still be used right before an instant.
func (r *Rods) usable(at measure.Instant) bool {
	v := r.Known(max(at-1, r.Bundle.Born)).Verdict
	return v != inventory.Bake && v != inventory.Discard && v != inventory.Unruled
}
