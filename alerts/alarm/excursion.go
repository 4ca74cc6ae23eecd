package alarm

import "ovenward/inventory/measure"

// Delays are how long something that is measured must be out of range before it is
// raised, and by how much and how long it must be back before it ceases. The zero
// Delays raise and end at once.
type Delays struct {
	On, Off  measure.Duration
	Deadband measure.Temperature
}

// Delays returns the delays of an entry of the catalogue.
func (e Entry) Delays() Delays { return Delays{e.On, e.Off, e.Deadband} }

// excursion follows one limit of a place: when it is passed, and when it is kept
// again.
type excursion struct {
	delays Delays
	most   measure.Temperature // the deadband at most: half of what may be between two limits; zero: no other limit
	raise  measure.Instant     // when it begins if nothing shows otherwise by then; zero: it is in range
	back   measure.Instant     // since when it is back; zero: it is not
	stands bool                // the last of found does
	found  []Condition

	shown, limit measure.Temperature // the newest that is out of range
}

// see notes what is shown at an instant: by how much it is past the limit, since
// when that may be so, and whether what is asked for has changed.
func (e *excursion) see(t, start measure.Instant, past, shown, limit measure.Temperature, changed bool) {
	switch {
	case past > 0:
		if e.raise == 0 {
			e.raise = max(t, start.Add(e.delays.On))
		}
		e.back, e.shown, e.limit = 0, shown, limit
	case !e.stands:
		e.raise = 0
	case changed:
		e.end(t)
	case past > -e.deadband():
		e.back = 0
	case e.back == 0:
		e.back = t
	}
}

// deadband leaves a range in which it can cease, however narrow what is asked for.
func (e *excursion) deadband() measure.Temperature {
	if e.most == 0 {
		return e.delays.Deadband
	}
	return min(e.most, e.delays.Deadband)
}

// settle lets it begin or cease if that was due by an instant.
func (e *excursion) settle(by measure.Instant, say func(t measure.Instant, shown, limit measure.Temperature) Condition) {
	if !e.stands && e.raise != 0 && e.raise <= by {
		e.found, e.stands = append(e.found, say(e.raise, e.shown, e.limit)), true
	}
	if e.stands && e.back != 0 && e.back.Add(e.delays.Off) <= by {
		e.end(e.back.Add(e.delays.Off))
	}
}

// end ends it at an instant, and forgets what was on its way.
func (e *excursion) end(t measure.Instant) {
	if e.stands {
		e.found[len(e.found)-1].Until = t
	}
	e.stands, e.raise, e.back = false, 0, 0
}
