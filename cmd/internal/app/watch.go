package app

import (
	"cmp"
	"context"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Conditions returns what stands at an instant and was not recorded, and what
// stood since the last Watch: all of the site's time, if there was none. Zero is
// now. Nothing is written.
func (a *App) Conditions(ctx context.Context, at measure.Instant) (list []alarm.Condition, err error) {
	err = a.read(ctx, at, func(v *view) error {
		list = nil
		w, err := v.watch()
		if err != nil {
			return err
		}
		for _, c := range w.found {
			known, err := alarmdb.Recorded(ctx, v.tx, a.Site, c.Key())
			if err != nil {
				return err
			}
			if !known {
				list = append(list, c)
			}
		}
		return nil
	})
	return list, err
}

// Watch records what began by an instant and returns what is new, and which
// recorded alarms have ceased; zero is now. It may be called at any times, by
// any number of programs, and after any stop: what is raised in the end, and
// since when, is what a watch that never stopped would have raised from the
// same facts. The looking takes no lock; the writing is short.
func (a *App) Watch(ctx context.Context, at measure.Instant) (raised, cleared []alarmdb.Alarm, err error) {
	var w *watching
	err = a.read(ctx, at, func(v *view) error {
		w, err = v.watch()
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		raised, cleared, err = w.store(ctx, tx)
		return err
	})
	return raised, cleared, err
}

// store writes what was seen.
func (w *watching) store(ctx context.Context, tx *sqlx.Tx) (raised, cleared []alarmdb.Alarm, err error) {
	if err := alarmdb.Hold(ctx, tx, w.site); err != nil {
		return nil, nil, err
	}
	if raised, err = alarmdb.Raise(ctx, tx, w.site, w.at, w.found); err != nil {
		return nil, nil, err
	}
	for _, a := range w.standing {
		until := w.ceased(a)
		if until == 0 {
			continue
		}
		noted := w.enteredLate(until)
		ended, err := alarmdb.Clear(ctx, tx, w.site, a.Key(), until, noted)
		if err != nil {
			return nil, nil, err
		}
		if ended {
			a.Cleared, a.Noted = &until, noted
			cleared = append(cleared, a)
		}
	}
	if err := w.advance(ctx, tx, raised, cleared); err != nil {
		return nil, nil, err
	}
	return raised, cleared, alarmdb.SetWatched(ctx, tx, w.site, w.now)
}

// ceased returns when a recorded alarm ceased, zero if it stands: by the time of
// the fact that ended it, however late that was entered. One that no facts bear
// out any more, because they were corrected or one from before it was entered
// late, was never true and ceases when that is known: now.
func (w *watching) ceased(a alarmdb.Alarm) measure.Instant {
	i := slices.IndexFunc(w.found, func(c alarm.Condition) bool { return c.Key() == a.Key() })
	if i >= 0 {
		return w.found[i].Until
	}
	if moved := w.moved[a.Subject]; a.Kind.OfLot() && moved > a.Since {
		return min(moved, w.at)
	}
	return w.at
}

// enteredLate returns when it was seen that an alarm had ceased, where the last
// look had found it standing after that: what ended it was entered late.
func (w *watching) enteredLate(ceased measure.Instant) *measure.Instant {
	if w.mark.At.Sub(ceased) > alarm.LateAfter {
		return &w.at
	}
	return nil
}

// Alarms returns the alarms that stand, the most urgent first, or with all
// every alarm ever raised, oldest first.
func (a *App) Alarms(ctx context.Context, all bool) (list []alarmdb.Alarm, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		if all {
			list, err = alarmdb.All(ctx, tx, a.Site, 0)
		} else {
			list, err = alarmdb.Standing(ctx, tx, a.Site)
		}
		return err
	})
	if !all {
		slices.SortStableFunc(list, func(a, b alarmdb.Alarm) int {
			return cmp.Or(a.Priority.Compare(b.Priority), cmp.Compare(a.Since, b.Since))
		})
	}
	return list, err
}

// Place returns a place of the site. The error is a *inventory.Refusal for a
// name that there is not.
func (a *App) Place(ctx context.Context, name string) (p inventory.Place, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		p, err = v.place(name)
		return err
	})
	return p, err
}
