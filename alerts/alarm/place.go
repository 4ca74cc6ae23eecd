package alarm

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Content is something that was in a heated place, with what its rule asks of
// the place.
type Content struct {
	Bundle   string
	From, To measure.Instant // To is zero while it is there
	Band     evidence.Band
	Proof    bool // its rule asks for proof of the temperature
}

// in reports whether it is in the place at an instant.
func (c Content) in(at measure.Instant) bool { return c.From <= at && (c.To == 0 || at < c.To) }

// Place is a heated place with its readings and what was in it.
type Place struct {
	Place    inventory.Place
	Oven     *Oven
	Contents []Content
	Idle     *evidence.Band   // what is asked of it while nothing is in it; nil: nothing
	Gap      measure.Duration // how far apart readings may be
	Words    Words

	Cold, Hot Delays // of the alarms that it is too cold and too hot
}

// Conditions returns what began at the place after one instant and by another:
// readings out of range, and readings that did not come.
func (p *Place) Conditions(from, at measure.Instant) []Condition {
	found := slices.Concat(p.heat(at), p.silence(at))
	slices.SortStableFunc(found, func(a, b Condition) int { return cmp.Compare(a.Since, b.Since) })
	return slices.DeleteFunc(found, func(c Condition) bool { return c.Since <= from })
}

// shown is what one probe shows, corrected.
type shown struct {
	evidence.Reading
	probe int
}

// readings returns what all probes show by an instant, in order of time.
func (p *Place) readings(at measure.Instant) []shown {
	var all []shown
	if p.Oven == nil {
		return nil
	}
	for i, list := range p.Oven.corrected {
		for _, r := range list[:after(list, at)] {
			all = append(all, shown{r, i})
		}
	}
	slices.SortStableFunc(all, func(a, b shown) int { return cmp.Compare(a.At, b.At) })
	return all
}

// band returns what is asked of the place at an instant: the tightest of what
// its contents ask. It is nil where nothing is asked.
func (p *Place) band(at measure.Instant) *evidence.Band {
	var tight *evidence.Band
	for _, c := range p.Contents {
		if !c.in(at) {
			continue
		}
		if tight == nil {
			b := c.Band
			tight = &b
			continue
		}
		tight.Min = max(tight.Min, c.Band.Min)
		if c.Band.HasMax && (!tight.HasMax || c.Band.Max < tight.Max) {
			tight.HasMax, tight.Max = true, c.Band.Max
		}
	}
	if tight == nil {
		return p.Idle
	}
	return tight
}

// bundles is the number of bundles in the place at an instant.
func (p *Place) bundles(at measure.Instant) int {
	n := 0
	for _, c := range p.Contents {
		if c.in(at) {
			n++
		}
	}
	return n
}

// bundlesText names how many bundles are in the place at an instant.
func (p *Place) bundlesText(at measure.Instant) string {
	switch n := p.bundles(at); n {
	case 0:
		return "what goes into it"
	case 1:
		return "the bundle in it"
	default:
		return fmt.Sprintf("the %d bundles in it", n)
	}
}
