package app

import (
	"context"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// reminderName is that of the lists that remind of oven checks; one of an oven
// alone, which nobody is told, keeps that its check was reminded of.
const reminderName = "oven-checks"

// Remind posts one list of the checks of holding ovens that are due within a time
// and that nobody was reminded of, and returns how many they are. By a rule set
// that asks for no checks there are none.
func (a *App) Remind(ctx context.Context, within measure.Duration, channels []string) (n int, err error) {
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		n = 0
		v, err := a.view(ctx, tx, a.now())
		if err != nil {
			return err
		}
		if err := alarmdb.Hold(ctx, tx, a.Site); err != nil {
			return err
		}
		due, err := v.checksDue(within)
		if err != nil {
			return err
		}
		var lines []string
		for _, c := range due {
			l := alarmdb.List{Name: reminderName + " " + c.place, Slot: c.due, Made: v.at, Head: "check " + c.place}
			fresh, err := alarmdb.Post(ctx, tx, a.Site, l, nil)
			if err != nil {
				return err
			}
			if fresh {
				lines = append(lines, fmt.Sprintf("look at %s by %s and record it: ovenward oven check %s", c.place, c.due.Minute().Clock(v.zone, v.at), c.place))
			}
		}
		if n = len(lines); n == 0 {
			return nil
		}
		l := alarmdb.List{Name: reminderName, Slot: v.at, Made: v.at, Head: "oven checks due: " + lines[0], Body: strings.Join(lines, "\n")}
		if n > 1 {
			l.Head = fmt.Sprintf("oven checks due: %d; %s", n, lines[0])
		}
		_, err = alarmdb.Post(ctx, tx, a.Site, l, channels)
		return err
	})
	return n, err
}

// checkDue is a check that is to be made.
type checkDue struct {
	place string
	due   measure.Instant
}

// checksDue returns the checks of holding ovens that are due within a time from
// the view's instant.
func (v *view) checksDue(within measure.Duration) (list []checkDue, err error) {
	set, err := v.setFor(inventory.Bundle{}, "")
	if err != nil || set == nil || set.Oven.Every == 0 {
		return nil, err
	}
	places, err := v.toCheck("")
	for _, p := range places {
		if err != nil {
			return nil, err
		}
		r, err := v.rounds(p, set.Oven.Every, 0, v.at.Add(within)+1)
		if err != nil {
			return nil, err
		}
		for _, one := range r.Rounds {
			if one.At == 0 && one.Due > v.at {
				list = append(list, checkDue{p.Name, one.Due})
			}
		}
	}
	return list, err
}
