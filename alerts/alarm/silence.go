package alarm

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/inventory/measure"
)

// stretch is a stretch of time; to is zero while it lasts.
type stretch struct{ from, to measure.Instant }

// silence returns when readings were missing while something was in the place
// whose rule asks for proof: from when the last one no longer speaks, or from
// when the first such rods went in, until the next reading or until they left.
func (p *Place) silence(at measure.Instant) []Condition {
	readings := p.readings(at)
	var found []Condition
	for _, s := range p.proofAsked() {
		if s.from > at {
			break
		}
		found = append(found, p.silent(s, readings, at)...)
	}
	return found
}

// silent returns the silences of one stretch in which proof is asked for.
func (p *Place) silent(s stretch, readings []shown, at measure.Instant) []Condition {
	var found []Condition
	next, _ := slices.BinarySearchFunc(readings, s.from, func(r shown, from measure.Instant) int {
		return cmp.Or(cmp.Compare(r.At, from), -1) // those at the beginning count as before it
	})
	overdue := s.from
	if next > 0 {
		overdue = max(overdue, readings[next-1].At.Add(p.Gap))
	}
	for overdue <= at && (s.to == 0 || overdue < s.to) {
		if next < len(readings) && readings[next].At <= overdue {
			overdue = readings[next].At.Add(p.Gap)
			next++
			continue
		}
		c := p.unread(overdue, readings[:next])
		until := s.to
		if next < len(readings) && (until == 0 || readings[next].At < until) {
			until = readings[next].At
		}
		if until <= at {
			c.Until = until
		}
		found = append(found, c)
		if next == len(readings) || until == s.to {
			break
		}
		overdue = readings[next].At.Add(p.Gap)
		next++
	}
	return found
}

// proofAsked returns the stretches of time in which something was in the place
// whose rule asks for proof, in order and apart from each other.
func (p *Place) proofAsked() []stretch {
	var list []stretch
	for _, c := range p.Contents {
		if c.Proof {
			list = append(list, stretch{c.From, c.To})
		}
	}
	slices.SortFunc(list, func(a, b stretch) int { return cmp.Compare(a.from, b.from) })
	var out []stretch
	for _, s := range list {
		n := len(out)
		if n == 0 || (out[n-1].to != 0 && out[n-1].to < s.from) {
			out = append(out, s)
			continue
		}
		if last := &out[n-1]; last.to != 0 && (s.to == 0 || s.to > last.to) {
			last.to = s.to
		}
	}
	return out
}

func (p *Place) unread(since measure.Instant, before []shown) Condition {
	c := Condition{Kind: NoReading, Subject: p.Place.Name, Since: since, Priority: Medium}
	c.What = fmt.Sprintf("%s %s: no reading yet", p.Place.Kind, p.Place.Name)
	if n := len(before); n > 0 {
		c.What = fmt.Sprintf("%s %s: no reading since %s", p.Place.Kind, p.Place.Name, p.Words.clock(before[n-1].At, since))
	}
	c.Consequence = p.bundlesText(since) + ": nothing shows that the covering stayed dry"
	c.Action = fmt.Sprintf("read it now and then at least every %s; check the probe if it should read by itself", p.Gap.Words())
	return c
}
