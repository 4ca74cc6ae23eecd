package alarm

import (
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// Rods are a bundle with its history, the evidence for the places where the
// rods were, and the slip that they were out on. They are not for use by two
// goroutines at once.
type Rods struct {
	Bundle  inventory.Bundle
	Lot     inventory.Lot
	Slip    inventory.Slip // zero where they never were out
	History *inventory.History
	Ruling  rules.Ruling
	Ovens   map[string]*Oven // by place; a place that is missing has no sensor
	Report  *rules.Report    // of column B, as exposure.Facts has it
	Air     map[string]*air.Log
	Words   Words

	answers map[measure.Instant]exposure.Judgement
}

// Conditions returns what a watch that never stopped would have raised for the
// rods after one instant and by another, and of what stood at the first whether
// it has ceased. It looks at them right before and at each change, and at the end:
// between two changes what is reached stays reached, so that it is seen then.
func (r *Rods) Conditions(from, at measure.Instant, standing ...Key) []Condition {
	f := following{index: map[Key]int{}}
	for _, k := range standing {
		f.add(Condition{Kind: k.Kind, Subject: k.Subject, Since: k.Since, Bundle: r.Bundle.Code})
	}
	for _, c := range r.changes(max(from, r.Bundle.Born-1), at) {
		f.see(r.sight(c - 1))
		f.see(r.sight(c))
	}
	f.see(r.sight(at))
	return f.list
}

// Sight is what is seen of some rods at one instant.
type sight struct {
	at    measure.Instant
	held  measure.Instant // a hold that was completed, which sets the clock to zero
	found []Condition
}

// following gathers the conditions of one sight after the other.
type following struct {
	list  []Condition
	index map[Key]int
}

func (f *following) add(c Condition) {
	f.index[c.Key()] = len(f.list)
	f.list = append(f.list, c)
}

// see adds what a sight shows, and ends what it no longer shows. What has ended
// stays so, as it does in a record, even if a later reading shows that it went
// on.
func (f *following) see(s sight) {
	for i := range f.list {
		c := &f.list[i]
		if c.Until == 0 && c.Since <= s.at && !s.shows(c.Key()) {
			c.Until = s.ended(c.Since)
		}
	}
	for _, c := range s.found {
		i, ok := f.index[c.Key()]
		switch {
		case !ok:
			f.add(c)
		case f.list[i].Until == 0:
			f.list[i] = c
		}
	}
}

func (s sight) shows(k Key) bool {
	return slices.ContainsFunc(s.found, func(c Condition) bool { return c.Key() == k })
}

// ended returns when a condition ceased that the sight no longer shows.
func (s sight) ended(since measure.Instant) measure.Instant {
	if s.held > since {
		return s.held
	}
	return s.at
}

// sight looks at the rods at an instant.
func (r *Rods) sight(at measure.Instant) sight {
	s := sight{at: at}
	i := r.staying(at)
	if i < 0 || r.History.Stays[i].Sealed {
		return s
	}
	j := r.Known(at)
	s.held = j.Held
	stay := r.History.Stays[i]
	switch {
	case stay.Slip != "":
		s.found = r.out(i, j)
	case stay.Place.Kind.Heated():
		s.found = r.holding(stay, j)
	default:
		s.found = r.open(i, j)
	}
	return s
}

// staying returns the index of the stay in which the rods are at an instant,
// -1 when they are nowhere: not born yet, used up, or back under another name.
func (r *Rods) staying(at measure.Instant) int {
	for i, s := range slices.Backward(r.History.Stays) {
		if s.From > at {
			continue
		}
		if s.To == 0 || at < s.To {
			return i
		}
		return -1
	}
	return -1
}

// since returns from when on the stays before one and the stay itself are of
// one sort without a break.
func (r *Rods) since(i int, sort func(inventory.Stay) bool) measure.Instant {
	for i > 0 && r.History.Stays[i-1].To == r.History.Stays[i].From && sort(r.History.Stays[i-1]) {
		i--
	}
	return r.History.Stays[i].From
}
