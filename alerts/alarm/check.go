package alarm

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
)

// Check is what a job of the program found when it looked at something other than
// rods and ovens: the ledger, a backup, the disk, the clock, what is on order.
type Check struct {
	Kind    Kind
	Subject string // what was looked at: "ledger", the backup's folder, an item
	At      measure.Instant
	Bad     bool
	Passing bool            // it happened and is over: it does not stand, as a step of the clock
	Next    measure.Instant // when it is to be looked at again at the latest; zero: no such time
	What    string          // one sentence of what was found, with its figures
	Due     measure.Instant // until when acting helps; zero: no such time
}

// Checked returns what follows from checks by an instant: a condition from the
// first bad check of a subject until the next good one, and from when a check was
// due that did not come until it came. They may be in any order. What must last
// is raised when it has lasted as long as the catalogue says.
func Checked(list []Check, c Catalogue, at measure.Instant) []Condition {
	by := map[Tag][]Check{}
	for _, one := range list {
		if one.At <= at {
			t := Tag{one.Kind, one.Subject}
			by[t] = append(by[t], one)
		}
	}
	var found []Condition
	for _, checks := range by {
		slices.SortStableFunc(checks, func(a, b Check) int { return cmp.Compare(a.At, b.At) })
		found = append(found, checkedOne(checks, c.Of(checks[0].Kind), at)...)
	}
	slices.SortFunc(found, func(a, b Condition) int {
		return cmp.Or(cmp.Compare(a.Since, b.Since), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Subject, b.Subject))
	})
	return found
}

// checkedOne returns what follows from the checks of one subject, in order.
func checkedOne(checks []Check, e Entry, at measure.Instant) []Condition {
	var found []Condition
	var bad *Check // the first of those that stand
	end := func(until measure.Instant) {
		if bad == nil {
			return
		}
		since := bad.At.Add(e.On)
		if since <= at && (until == 0 || since < until) {
			c := e.condition(*bad, since, bad.What)
			c.Until = until
			found = append(found, c)
		}
		bad = nil
	}
	for i, one := range checks {
		switch {
		case one.Bad && one.Passing:
			c := e.condition(one, one.At, one.What)
			c.Until = one.At
			found = append(found, c)
		case one.Bad && bad == nil:
			bad = &checks[i]
		case !one.Bad:
			end(one.At)
		}
		if one.Next == 0 || one.Next > at {
			continue
		}
		came := measure.Instant(0)
		if i+1 < len(checks) {
			came = checks[i+1].At
		}
		if came == 0 || came > one.Next {
			c := e.condition(one, one.Next, e.missed(one))
			c.Until = came
			found = append(found, c)
		}
	}
	end(0)
	return found
}

func (e Entry) condition(one Check, since measure.Instant, what string) Condition {
	return Condition{Kind: one.Kind, Subject: one.Subject, Since: since, Priority: e.Priority, What: what,
		Consequence: e.Consequence, Action: e.Action, Due: one.Due}
}

// missed says that a check did not come.
func (e Entry) missed(one Check) string {
	return one.Subject + ": it was to be looked at again by now and was not"
}
