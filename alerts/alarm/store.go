package alarm

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/rules"
)

// Kept is stock that was in a store, with what its rules ask of the air.
type Kept struct {
	Bundle   string
	From, To measure.Instant // To is zero while it is there
	Limits   rules.ClimateLimits
}

func (k Kept) in(at measure.Instant) bool { return k.From <= at && (k.To == 0 || at < k.To) }

// Store is a store with what was read of its air and the stock that was in it.
type Store struct {
	Place string
	Log   *air.Log
	Kept  []Kept            // of which rules ask something of the air
	Days  []measure.Instant // the ends of the days on which the air was to be read; nil: it need not be
	Words Words
}

// Conditions returns what began in the store after one instant and by another: air
// outside of what its stock asks for, and days on which nobody read it.
func (s *Store) Conditions(from, at measure.Instant) []Condition {
	found := slices.Concat(s.outside(at), s.unread(at))
	slices.SortStableFunc(found, func(a, b Condition) int { return cmp.Compare(a.Since, b.Since) })
	return slices.DeleteFunc(found, func(c Condition) bool { return c.Since <= from })
}

// outside returns when a reading showed the air outside of the limits of stock
// that was there, until one that does not, or until that stock was gone.
func (s *Store) outside(at measure.Instant) []Condition {
	var found []Condition
	standing := false
	for _, t := range s.turns(at) {
		why, bundles := s.shown(t)
		switch {
		case why != "" && !standing:
			found, standing = append(found, s.tooHumid(t, why, bundles)), true
		case why == "" && standing:
			found[len(found)-1].Until, standing = t, false
		}
	}
	return found
}

// turns returns the instants at which the air was read or stock came or went.
func (s *Store) turns(at measure.Instant) []measure.Instant {
	var turns []measure.Instant
	for _, o := range s.Log.Observations(0, at) {
		turns = append(turns, o.At)
	}
	for _, k := range s.Kept {
		turns = append(turns, k.From, k.To)
	}
	slices.Sort(turns)
	turns = slices.DeleteFunc(turns, func(t measure.Instant) bool { return t == 0 || t > at })
	return slices.Compact(turns)
}

// shown returns what the last reading at an instant says against the limits of the
// stock that is there, and how many bundles it concerns. A reading that is too old
// says nothing new: what it showed stands until another is taken.
func (s *Store) shown(at measure.Instant) (why string, bundles int) {
	last, ok := s.Log.Last(at)
	if !ok {
		return "", 0
	}
	for _, k := range s.Kept {
		if !k.in(at) {
			continue
		}
		if out := k.Limits.Outside(last.Air); out != "" {
			why = cmp.Or(why, out)
			bundles++
		}
	}
	return why, bundles
}

// unread returns the days at whose end stock was there and nobody had read the
// air, until it was read again. A second day without a reading is the same
// condition.
func (s *Store) unread(at measure.Instant) []Condition {
	var found []Condition
	for i := 1; i < len(s.Days) && s.Days[i] <= at; i++ {
		begin, end := s.Days[i-1], s.Days[i]
		if n := len(found); n > 0 && (found[n-1].Until == 0 || found[n-1].Until >= end) {
			continue
		}
		inUse := slices.ContainsFunc(s.Kept, func(k Kept) bool { return k.in(end - 1) })
		if !inUse || len(s.Log.Observations(begin, end-1)) > 0 {
			continue
		}
		c := s.notRead(end)
		if next := s.Log.Observations(end, at); len(next) > 0 {
			c.Until = next[0].At
		}
		found = append(found, c)
	}
	return found
}

func (s *Store) tooHumid(since measure.Instant, why string, bundles int) Condition {
	return Condition{Kind: ClimateOutside, Subject: s.Place, Since: since, Priority: Medium,
		What:        fmt.Sprintf("%s: %s", s.Place, why),
		Consequence: fmt.Sprintf("%s there may lose their shelf life", counted(bundles, "bundle", "bundles")),
		Action:      "heat or dry the store, and let QA see: ovenward climate history \"" + s.Place + "\""}
}

func (s *Store) notRead(since measure.Instant) Condition {
	return Condition{Kind: ClimateMissing, Subject: s.Place, Since: since, Priority: Low,
		What:        fmt.Sprintf("%s: nobody read the air on the day that ended %s", s.Place, s.Words.clock(since, since)),
		Consequence: "nothing proves that the store was within its limits",
		Action:      "read it now: ovenward climate add \"" + s.Place + "\" TEMPERATURE HUMIDITY"}
}

func counted(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}
