package app

import (
	"context"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
)

// advance takes the state of every tag along with what began and ceased, lets
// what a planned shutdown is the cause of be suppressed, and ends shelves.
func (w *watching) advance(ctx context.Context, tx *sqlx.Tx, raised, cleared []alarmdb.Alarm) error {
	s := stepper{ctx: ctx, tx: tx, w: w}
	for _, a := range raised {
		s.do(a.Tag(), alarm.Raise, "it began")
	}
	for _, a := range slices.Concat(over(raised), cleared) {
		s.clear(a.Tag())
	}
	s.suppress()
	s.unshelve()
	return s.err
}

// over returns the alarms that had ceased when they were raised.
func over(raised []alarmdb.Alarm) []alarmdb.Alarm {
	return slices.DeleteFunc(slices.Clone(raised), alarmdb.Alarm.Stands)
}

// stepper lets events happen until one fails.
type stepper struct {
	ctx context.Context
	tx  *sqlx.Tx
	w   *watching
	err error
}

func (s *stepper) do(t alarm.Tag, e alarm.Event, why string) (after alarmdb.Status) {
	if s.err == nil {
		after, s.err = alarmdb.Advance(s.ctx, s.tx, s.w.site, alarmdb.Step{Tag: t, Event: e, At: s.w.at, By: watchman, Why: why})
	}
	return after
}

// clear is for a tag of which an alarm ceased: it stands on while another does.
// What harmed nobody needs nobody once it is over.
func (s *stepper) clear(t alarm.Tag) {
	standing := s.standing()
	if s.err != nil || slices.ContainsFunc(standing, func(a alarmdb.Alarm) bool { return a.Tag() == t }) {
		return
	}
	after := s.do(t, alarm.Clear, "it ceased")
	if after.State == alarm.Returned && !alarm.Of(t.Kind).Kept {
		s.do(t, alarm.Ack, "it is over and nothing is left to see to")
	}
}

func (s *stepper) standing() (list []alarmdb.Alarm) {
	if s.err == nil {
		list, s.err = alarmdb.Standing(s.ctx, s.tx, s.w.site)
	}
	return list
}

// suppress sets aside what a planned shutdown hushes now, and brings back what
// none does any more.
func (s *stepper) suppress() {
	hushed := map[alarm.Tag]bool{}
	for _, c := range s.w.hushed {
		if c.Until == 0 && s.w.shutNow(c.Subject) {
			hushed[c.Tag()] = true
		}
	}
	for _, now := range s.notNormal() {
		t := now.Tag()
		if now.State == alarm.Suppressed && !hushed[t] {
			s.do(t, alarm.Release, "the planned shutdown is over")
		}
		if now.State == alarm.Suppressed || now.State == alarm.OutOfService {
			delete(hushed, t)
		}
	}
	for _, c := range s.w.hushed {
		if hushed[c.Tag()] {
			s.do(c.Tag(), alarm.Suppress, "the place is switched off on purpose")
			delete(hushed, c.Tag())
		}
	}
}

// shutNow reports whether a planned shutdown of a place is on.
func (w *watching) shutNow(place string) bool {
	for _, p := range w.heated {
		for _, o := range p.off {
			if p.Place.Place.Name == place && o.From <= w.at && w.at < o.To {
				return true
			}
		}
	}
	return false
}

// unshelve brings back what has been on the shelf for its time, what was shelved
// until it ceased and has, and what has become more urgent.
func (s *stepper) unshelve() {
	standing := s.standing()
	for _, now := range s.notNormal() {
		if now.State != alarm.OnShelf {
			continue
		}
		if why := now.Shelf().Ended(s.w.at, now.Active, urgent(standing, now.Tag())); why != "" {
			s.do(now.Tag(), alarm.Unshelve, why)
		}
	}
}

// urgent returns the highest priority of a tag's alarms that stand.
func urgent(standing []alarmdb.Alarm, t alarm.Tag) alarm.Priority {
	p := alarm.Low
	for _, a := range standing {
		if a.Tag() == t && a.Priority.Compare(p) < 0 {
			p = a.Priority
		}
	}
	return p
}

func (s *stepper) notNormal() (list []alarmdb.Status) {
	if s.err == nil {
		list, s.err = alarmdb.NotNormal(s.ctx, s.tx, s.w.site)
	}
	return list
}
