package app

import (
	"context"
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/exposure"
	"ovenward/storage/ruledb"
	"ovenward/storage/rules"
)

// columnB adds to the facts of a judgement what a column B row asks for: the
// report of a test of the maker's rods of the class, and the air that the rods
// were in.
func (v *view) columnB(l inventory.Lot, f *exposure.Facts) (err error) {
	if f.Ruling.ColumnB == nil {
		return nil
	}
	if f.Report, err = v.report(l); err != nil || f.Report == nil {
		return err
	}
	f.Air, err = v.airAround(f.History, f.Ruling.Air.MaxGap)
	return err
}

// report returns the newest report of a test of a lot's maker and class, nil
// where there is none.
func (v *view) report(l inventory.Lot) (*rules.Report, error) {
	list, err := ruledb.ReportsOf(v.ctx, v.tx, v.site, l.Mark.Canonical, v.at)
	if err != nil {
		return nil, err
	}
	for _, r := range list {
		if rules.SameMaker(r.Maker, l.Maker) {
			return r.InForce(v.zone), nil
		}
	}
	return nil, nil
}

// airAround returns what was read of the air of the places where rods were out of
// their package, and of the shop.
func (v *view) airAround(h *inventory.History, gap measure.Duration) (map[string]*air.Log, error) {
	from := map[string]measure.Instant{string(inventory.OpenAir): v.at}
	opened(h, map[*inventory.History]bool{}, func(s inventory.Stay) {
		place := exposure.AirOf(s.Place)
		if have, ok := from[place]; !ok || s.From < have {
			from[place] = s.From
		}
	})
	logs := map[string]*air.Log{}
	for place, at := range from {
		log, err := v.airLog(place, at.Add(-gap), v.at.Add(gap))
		if err != nil {
			return nil, err
		}
		logs[place] = log
	}
	return logs, nil
}

// opened calls f with the stays of rods out of their package, back to the can.
func opened(h *inventory.History, seen map[*inventory.History]bool, f func(inventory.Stay)) {
	if seen[h] {
		return
	}
	seen[h] = true
	for _, s := range h.Stays {
		if !s.Sealed {
			f(s)
		}
	}
	for _, o := range h.Origins {
		opened(o.History, seen, f)
	}
}

// longer writes on a slip what decided between the limits, and tells the
// attendant where a test would have allowed more.
func (d *desk) longer(e *inventory.Judged, out exposure.Judgement) {
	b := out.Longer
	if b == nil {
		return
	}
	e.Limit, e.Longer = out.Limit.String(), d.words().Longer(out)
	switch {
	case b.Applies:
		e.Row, e.Source = b.Row.Row, b.Row.Source
	case b.Limit > 0:
		d.warn("column B does not apply: %s; the limit is %s", b.Why, out.Limit.Words())
	}
}

// ReportLook is a test report with whether it counts now.
type ReportLook struct {
	ruledb.Report
	Said    string // the air of the test in words
	InForce bool
	Newer   bool // another of the same maker and class is newer and counts instead
}

// TestReports returns the test reports of the site, each maker's and class's in
// order of time.
func (a *App) TestReports(ctx context.Context) (list []ReportLook, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = v.testReports()
		return err
	})
	return list, err
}

func (v *view) testReports() ([]ReportLook, error) {
	list, err := ruledb.Reports(v.ctx, v.tx, v.site)
	if err != nil {
		return nil, err
	}
	var out []ReportLook
	for i, r := range list {
		look := ReportLook{Report: r, Said: v.words().Air(air.Air{Temp: r.Temp, RH: r.RH}), InForce: r.InForce(v.zone).InForce(v.at)}
		for j, o := range list { // by name, and one maker may be written in two ways
			later := o.At > r.At || (o.At == r.At && j > i)
			look.Newer = look.Newer || (o.Class == r.Class && rules.SameMaker(o.Maker, r.Maker) && later && o.At <= v.at)
		}
		look.InForce = look.InForce && !look.Newer
		out = append(out, look)
	}
	return out, nil
}

// State says in a word what a report is good for.
func (r ReportLook) State() string {
	switch {
	case r.Newer:
		return "replaced"
	case r.InForce:
		return "in force"
	}
	return fmt.Sprintf("until %s", r.Expires)
}
