package exposure

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/rules"
)

// Longer is what a column B row makes of a limit: the exposure that a test of the
// maker's rods allows, while the air that the rods are in is above that of the
// test in neither humidity nor moisture. The first minute that is not proven so
// takes it away, until the clock is set to zero; what was used before that minute
// counts.
type Longer struct {
	Row     rules.ColumnBRow
	Report  *rules.Report    // nil: none of this maker and class is in force
	Limit   measure.Duration // that the report allows; zero: none
	Applies bool
	Why     string          // why it does not apply; empty where it does
	Since   measure.Instant // when it was taken away; zero: it never applied, or does
	Air     air.Observation // the last reading of the air where the rods are, or would be; zero: none
}

// longer is a longer limit that a report allows.
type longer struct {
	near, due measure.Duration
	report    *rules.Report
	logs      map[string]*air.Log
}

// newLonger returns the longer limit of a ruling, or why there is none.
func newLonger(r *rules.Ruling, f *Facts) (*longer, string) {
	row := r.ColumnB
	if row == nil {
		return nil, ""
	}
	if f.Report == nil {
		return nil, "no test report of this maker for this class is in force"
	}
	limit, why := row.Allows(f.Report)
	if why != "" {
		return nil, why
	}
	if r.OtherLimit > 0 {
		limit = min(limit, r.OtherLimit)
	}
	if limit <= r.Exposure.Limit {
		return nil, fmt.Sprintf("a row of another authority limits it to %s", limit.Words())
	}
	return &longer{near: rules.Share(limit, r.Clock.WarnPercent), due: limit, report: f.Report, logs: f.Air}, ""
}

// AirOf returns the place whose air is that of rods in a place: a shelf has its
// own, everywhere else it is that of the shop.
func AirOf(p inventory.Place) string {
	if p.Kind == inventory.Shelf {
		return p.Name
	}
	return string(inventory.OpenAir)
}

// takes returns the first instant of a stretch in which the longer limit is taken
// away from rods of a visit, and why; false where it is not.
func (l *longer) takes(v *visit, gap measure.Duration, from, to measure.Instant) (measure.Instant, string, bool) {
	end := to
	why := ""
	switch r := l.report; {
	case from < r.From:
		return from, "report " + r.Reference + " was not in force yet", true
	case r.Until != 0 && r.Until < to:
		end, why = max(from, r.Until), "report "+r.Reference+" ran out"
	}
	above := func(a air.Air) string { return a.Above(l.report.Air) }
	for _, s := range l.logs[AirOf(v.stay.Place)].Judge(gap, from, end, v.left, above) {
		switch s.Finding {
		case air.Outside:
			return s.From, s.Why, true
		case air.Unknown:
			return s.From, "no reading of the air proves it", true
		case air.Within:
		}
	}
	return end, why, why != ""
}

// pass lets time of a kind go by for one of the two readings, and takes the longer
// limit away where it ends in that time.
func (w *fold) pass(c *clock, v *visit, k Kind, from, to measure.Instant) {
	l := w.law.longer
	if l != nil && c.short == "" && inAir(k) && to > from {
		if at, why, ends := l.takes(v, w.law.Air.MaxGap, from, to); ends {
			c.pass(k, from, at, &w.law)
			c.shorten(at, why, &w.law)
			from = at
		}
	}
	c.pass(k, from, to, &w.law)
}

// present looks at the air that rods are in at the instant: what begins then is
// known at once.
func (w *fold) present(c *clock, v *visit, k Kind) {
	l := w.law.longer
	if l == nil || c.short != "" || !inAir(k) {
		return
	}
	if at, why, ends := l.takes(v, w.law.Air.MaxGap, w.at, w.at+1); ends {
		c.shorten(at, why, &w.law)
	}
}

// inAir reports whether time of a kind is spent in the air of a room.
func inAir(k Kind) bool { return k != Sealed && k != Kept && k != Baking }

// shorten takes the longer limit away.
func (c *clock) shorten(at measure.Instant, why string, r *law) {
	c.short, c.shortAt = why, at
	reach(&c.near, at, 0, c.room(c.nearOf(r)))
	reach(&c.past, at, 0, c.room(c.dueOf(r)))
}

// longer says what the column B row made of the limit; nil where the rule set has
// none for the stock.
func (w *fold) longer(c *clock) *Longer {
	if w.law.ColumnB == nil {
		return nil
	}
	out := &Longer{Row: *w.law.ColumnB, Report: w.facts.Report, Why: w.law.noLonger}
	if l := w.law.longer; l != nil {
		out.Limit, out.Applies, out.Why, out.Since = l.due, c.short == "", c.short, c.shortAt
	}
	if w.here.stay != nil {
		out.Air, _ = w.facts.Air[AirOf(w.here.stay.Place)].Last(w.at)
	}
	return out
}
