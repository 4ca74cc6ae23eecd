package alarm

import (
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/exposure"
)

// Known returns the judgement of the rods at an instant from what was known
// then: a later reading, which may show that an oven was cold before, does not
// count. Answers are kept, since conditions ask again for what was seen before.
func (r *Rods) Known(at measure.Instant) exposure.Judgement {
	if j, ok := r.answers[at]; ok {
		return j
	}
	places := map[string]*evidence.Place{}
	for _, s := range r.Heated(at) {
		places[s.Place] = r.Ovens[s.Place].Known(at)
	}
	j := exposure.Judge(exposure.Facts{History: r.History, Places: places, Ruling: r.Ruling, Report: r.Report, Air: r.air(at)}, at)
	if r.answers == nil {
		r.answers = map[measure.Instant]exposure.Judgement{}
	}
	r.answers[at] = j
	return j
}

// HeatedStay is time of the rods in a heated place.
type HeatedStay struct {
	Place    string
	From, To measure.Instant
}

// Heated returns where the rods were out of their package in a heated place by
// an instant, back to the can.
func (r *Rods) Heated(by measure.Instant) []HeatedStay { return heated(nil, r.History, by) }

func heated(list []HeatedStay, h *inventory.History, by measure.Instant) []HeatedStay {
	for _, s := range h.Stays {
		if s.Sealed || !s.Place.Kind.Heated() || s.From > by {
			continue
		}
		to := by
		if s.To != 0 {
			to = min(to, s.To)
		}
		list = append(list, HeatedStay{s.Place.Name, s.From, to})
	}
	for _, o := range h.Origins {
		list = heated(list, o.History, min(by, o.Until))
	}
	return list
}

// changes returns the instants after one and up to another at which something
// happened to the rods, or at which a reading turned that may speak for them.
func (r *Rods) changes(from, at measure.Instant) []measure.Instant {
	var list []measure.Instant
	for _, s := range r.History.Stays {
		list = append(list, s.From, s.To)
	}
	for _, e := range r.History.Events {
		list = append(list, e.At)
	}
	gap := r.Ruling.Evidence.MaxGap
	for _, s := range r.Heated(at) {
		turns := r.Ovens[s.Place].Turns(r.bands(), gap, max(s.From-1, from), min(s.To.Add(gap), at))
		list = append(list, turns...)
	}
	list = append(list, r.airTurns(from, at)...)
	list = slices.DeleteFunc(list, func(c measure.Instant) bool { return c <= from || c > at })
	slices.Sort(list)
	return slices.Compact(list)
}

// bands are the ranges of temperature in which time counts differently.
func (r *Rods) bands() []evidence.Band {
	var list []evidence.Band
	if h := r.Ruling.Hold; h != nil {
		list = append(list, h.Band())
	}
	if q := r.Ruling.Quiver; q != nil {
		list = append(list, evidence.Band{Min: q.Min.Temperature})
	}
	return list
}
