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
	days      marks         // in holding, where they are limited
}

// marks are a limit and its warning share.
type marks struct{ near, due measure.Duration }

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
	if r.Holding != nil {
		l.days.due = measure.Duration(r.Holding.MaxDays) * measure.Day
		l.days.near = rules.Share(l.days.due, r.Clock.WarnPercent)
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

// firstWhy says why stock is baked before its first use.
func (l *law) firstWhy() string {
	if l.FirstUse.Damaged {
		return "its package came damaged: dry it before first use"
	}
	return "came without a tight seal: bake before first use"
}

// owes reports whether rods that come back from a slip owe a hold.
func (l *law) owes() bool { return l.Hold != nil && !l.Hold.Cabinet }

// cabinet reports whether stock past its limit may go into a drying cabinet.
func (l *law) cabinet() bool { return l.Hold != nil && l.Hold.Cabinet }
