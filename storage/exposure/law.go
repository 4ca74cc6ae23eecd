package exposure

import (
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// law is a ruling with what every piece of time asks of it worked out once.
type law struct {
	*rules.Ruling
	clocked   bool
	near, due limits
	hold      evidence.Band // where the ruling has a hold
	quiver    evidence.Band // where it has a quiver row
	longer    *longer       // that a test report allows; nil: none
	noLonger  string        // why none is allowed, where a row could
}

// limits are exposures at which something happens.
type limits struct {
	open  measure.Duration
	total measure.Duration // open and portable time together, where a quiver gives credit
}

func newLaw(f *Facts) law {
	r := &f.Ruling
	l := law{Ruling: r, clocked: r.Clocked(), due: limits{open: r.Exposure.Limit}}
	if r.Hold != nil {
		l.hold = r.Hold.Band()
	}
	if r.Quiver != nil {
		l.quiver = evidence.Band{Min: r.Quiver.Min.Temperature}
		l.due.total = r.Quiver.Total
	}
	l.near.open = rules.Share(l.due.open, r.Clock.WarnPercent)
	l.near.total = rules.Share(l.due.total, r.Clock.WarnPercent)
	l.longer, l.noLonger = newLonger(r, f)
	return l
}

// quiverHolds reports whether a quiver may count as a holding oven.
func (l *law) quiverHolds() bool { return l.Quiver.AsHold && l.Hold != nil }

// credited is the kind of time in a quiver that is hot enough by its own row.
func (l *law) credited() Kind {
	if l.due.total == 0 {
		return Open
	}
	return Portable
}
