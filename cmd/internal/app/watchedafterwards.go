package app

import (
	"fmt"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
)

// afterwards marks what the last look would have seen if the readings of its time
// had come by then. It is listed and nobody is called: it is over. What follows
// from a fact about the rods that was entered late is raised late, as ever.
func (w *watching) afterwards() {
	for i, c := range w.found {
		w.found[i].Afterwards = c.FoundAfterwards(w.mark.At) && !w.late[c.Bundle] && !w.late[c.Subject]
	}
}

// afterwards keeps in the history of alarms what was found afterwards; the states
// stay as they are, so that no channel is told.
func (s *stepper) afterwards(raised []alarmdb.Alarm) {
	for _, a := range raised {
		if !a.Afterwards || s.err != nil {
			continue
		}
		now, err := alarmdb.StatusOf(s.ctx, s.tx, s.w.site, a.Tag())
		if err != nil {
			s.err = err
			return
		}
		s.err = alarmdb.Note(s.ctx, s.tx, s.w.site, alarmdb.Step{Tag: a.Tag(), Since: a.Since, Event: alarm.Afterwards, At: s.w.at, By: watchman,
			Why: fmt.Sprintf("readings that came in later show it from %s to %s: %s", a.Since.Clock(s.w.zone, s.w.at),
				a.Cleared.Clock(s.w.zone, s.w.at), a.What)}, now.State)
	}
}
