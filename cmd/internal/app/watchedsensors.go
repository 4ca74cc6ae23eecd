package app

import (
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
)

// sensors adds the checks of sensors that change what was judged before them.
// What a check changes is compared again where new facts may say otherwise: for
// one that was entered since, one whose alarm stands, and one of the last week,
// for which a logger may have brought readings late.
func (w *watching) sensors() error {
	list, err := w.surprises()
	if err != nil || len(list) == 0 {
		return err
	}
	news, err := w.newChecks()
	if err != nil {
		return err
	}
	for _, s := range list {
		key := alarm.Key{Kind: alarm.SensorWrong, Subject: s.sensor.Name, Since: s.check.At}
		standing := slices.ContainsFunc(w.standing, func(a alarmdb.Alarm) bool { return a.Key() == key })
		settled := s.settled != 0 && s.settled <= w.mark.At
		fresh := w.mark.At == 0 || news.checks[key.Since] || s.check.At > w.mark.At.Add(-lookBack)
		switch {
		case news.any && (standing || (fresh && !settled)):
			err = w.wrong(s)
		case standing:
			w.see([]alarm.Condition{{Kind: key.Kind, Subject: key.Subject, Since: key.Since, Until: s.settled}})
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// notedChecks is what the facts since the last look say that the reach of a check
// depends on.
type notedChecks struct {
	any    bool                     // anything of it
	checks map[measure.Instant]bool // when the checks among them were made
}

func (w *watching) newChecks() (n notedChecks, err error) {
	n.checks = map[measure.Instant]bool{}
	err = ledgerdb.Each(w.ctx, w.tx, w.site, w.mark.Seq, func(f ledger.Fact) error {
		late := f.At < w.mark.At || f.Supersedes != ""
		n.any = n.any || late || slices.Contains([]string{"calibrate", "settle", "decide", "day"}, f.Kind)
		if f.Kind == "calibrate" {
			n.checks[f.At] = true
		}
		return nil
	})
	return n, err
}

// wrong adds what a check changes, if that is anything.
func (w *watching) wrong(s surprise) error {
	r, err := w.reach(s.sensor, s.made, s.check, w.touchedBy)
	if err != nil || len(r.Changed) == 0 {
		return err
	}
	a := alarm.Wrong{Sensor: s.sensor.Name, Place: s.sensor.Place, Found: s.check.Found, Since: r.Since, Check: s.check.At, Over: s.settled,
		Compared: r.Compared, Changed: len(r.Changed), Joints: r.Joints(), Words: w.words()}
	for _, c := range r.Changed {
		switch {
		case c.Slip != "" && !slices.Contains(a.Slips, c.Slip):
			a.Slips = append(a.Slips, c.Slip)
		case c.Slip == "" && !slices.Contains(a.Bundles, c.Bundle):
			a.Bundles = append(a.Bundles, c.Bundle)
		}
	}
	if a.Over == 0 {
		a.Over, err = w.decidedAll(r)
	}
	w.see([]alarm.Condition{a.Condition()})
	return err
}

// decidedAll returns when QA had decided about each bundle that a check touches,
// one by one; zero where it has not, or where rods went out, of which no decision
// about stock speaks.
func (w *watching) decidedAll(r Reach) (last measure.Instant, err error) {
	for _, c := range r.Changed {
		if c.Act == WentOut || c.Act == CameBack {
			return 0, nil
		}
		h, err := w.past().Of(w.ctx, w.tx, c.Bundle)
		if err != nil {
			return 0, err
		}
		at := decidedSince(h, r.Check.At)
		if at == 0 {
			return 0, nil
		}
		last = max(last, at)
	}
	return last, nil
}
