package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
)

// advance takes the state of every tag along with what began and ceased, lets
// what a planned shutdown is the cause of be suppressed, and ends shelves.
func (w *watching) advance(ctx context.Context, tx *sqlx.Tx, raised, cleared []alarmdb.Alarm) error {
	s := stepper{ctx: ctx, tx: tx, w: w, stands: map[alarm.Tag]int{}}
	for _, a := range w.standing {
		s.stands[a.Tag()]++
	}
	for _, t := range changes(raised, cleared) {
		s.turn(t)
	}
	s.afterwards(raised)
	s.suppress()
	s.unshelve()
	s.recall()
	return s.err
}

// change is one alarm that began or ceased.
type change struct {
	alarmdb.Alarm
	at     measure.Instant
	ceased bool
}

// changes puts what began and what ceased in the order in which it happened, so that
// what went on while nobody watched is told as it would have been.
func changes(raised, cleared []alarmdb.Alarm) (list []change) {
	for _, a := range raised {
		if a.Afterwards {
			continue
		}
		list = append(list, change{a, a.Since, false})
		if !a.Stands() {
			list = append(list, change{a, *a.Cleared, true})
		}
	}
	for _, a := range cleared {
		list = append(list, change{a, *a.Cleared, true})
	}
	slices.SortStableFunc(list, func(a, b change) int { return cmp.Compare(a.at, b.at) })
	return list
}

// stepper lets events happen until one fails.
type stepper struct {
	ctx context.Context
	tx  *sqlx.Tx
	w   *watching
	err error

	stands map[alarm.Tag]int // how many alarms of a tag
	since  measure.Instant   // of the alarm that a step is about
}

func (s *stepper) do(t alarm.Tag, e alarm.Event, why string) (after alarmdb.Status) {
	if s.err == nil {
		after, s.err = alarmdb.Advance(s.ctx, s.tx, s.w.site,
			alarmdb.Step{Tag: t, Since: s.since, Event: e, At: s.w.at, By: watchman, Why: why})
	}
	return after
}

// turn takes a tag's state along. It stands on while another of its alarms does;
// what harmed nobody needs nobody once it is over.
func (s *stepper) turn(t change) {
	tag := t.Tag()
	s.since = t.Since
	defer func() { s.since = 0 }()
	if !t.ceased {
		s.stands[tag]++
		s.do(tag, alarm.Raise, "it began")
		return
	}
	if s.stands[tag]--; s.stands[tag] > 0 {
		return
	}
	if after := s.do(tag, alarm.Clear, s.w.whyCeased(t.Alarm)); after.State == alarm.Returned && !s.w.catalogue.Of(tag.Kind).Kept {
		s.do(tag, alarm.Ack, "it is over and nothing is left to see to")
	}
}

// whyCeased says when an alarm had ceased where that was entered late.
func (w *watching) whyCeased(a alarmdb.Alarm) string {
	if a.Noted != nil {
		return fmt.Sprintf("it ceased at %s, entered late", a.Cleared.Clock(w.zone, w.at))
	}
	return "it ceased"
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
