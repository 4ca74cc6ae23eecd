package alarm

import (
	"fmt"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Unpapered is a lot that may wait for its certificate no longer than until Due.
type Unpapered struct {
	Lot  inventory.Lot
	Came measure.Date
	Due  measure.Instant
	Gone measure.Instant // zero while stock of it is here
	// Turns are in order. Without one at its coming it came without a paper.
	Turns []PaperTurn
}

// PaperTurn is an instant from which a lot had a paper that was taken, or from
// which all were rejected.
type PaperTurn struct {
	At    measure.Instant
	Taken bool
}

// Papers returns what began for some lots by an instant and had not ceased by
// another: a condition from when a lot has waited too long for a certificate, or
// from when its last one was rejected, until one is taken or the lot is used up.
func Papers(list []Unpapered, from, at measure.Instant) []Condition {
	var found []Condition
	for _, u := range list {
		since, taken := measure.Instant(0), false
		add := func(until measure.Instant) {
			began, over := max(since, u.Due), ended(until, u.Gone, at)
			if began <= at && (over == 0 || over > max(began, from)) {
				found = append(found, u.condition(began, over))
			}
		}
		for _, t := range u.Turns {
			if t.Taken == taken {
				continue
			}
			if t.Taken {
				add(t.At)
			}
			since, taken = t.At, t.Taken
		}
		if !taken {
			add(0)
		}
	}
	return found
}

func (u Unpapered) condition(since, until measure.Instant) Condition {
	name := strings.TrimSpace(u.Lot.Mark.Canonical + " " + u.Lot.Size)
	return Condition{Kind: CertificateMissing, Subject: u.Lot.Code, Since: since, Until: until, Priority: Low,
		What:        fmt.Sprintf("lot %s, %s, came on %s and has no certificate that was taken", u.Lot.Code, name, u.Came),
		Consequence: "nothing proves what it is, and a mill seldom writes a certificate afterwards",
		Action:      "ask the supplier for it, or send the lot back; enter it with: ovenward lot certificate add " + u.Lot.Code}
}
