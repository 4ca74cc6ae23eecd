package app

import (
	"cmp"
	"context"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
)

// Posted is an alarm with the state that its tag is in.
type Posted struct {
	alarmdb.Alarm
	Status alarmdb.Status
}

// Board returns the alarms that stand or wait to be acknowledged: those that call
// before those that were seen or set aside, those that stand before those that
// are over, and then the most urgent first; with all every alarm ever raised,
// oldest first. It also counts the tags by state.
func (a *App) Board(ctx context.Context, all bool) (list []Posted, counts map[alarm.State]int, err error) {
	var alarms []alarmdb.Alarm
	var states []alarmdb.Status
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		if states, err = alarmdb.NotNormal(ctx, tx, a.Site); err != nil {
			return err
		}
		if all {
			alarms, err = alarmdb.All(ctx, tx, a.Site, 0)
			return err
		}
		alarms, err = waiting(ctx, tx, a.Site, states)
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	list, counts = post(alarms, states)
	if !all {
		slices.SortStableFunc(list, func(a, b Posted) int {
			return cmp.Or(quiet(a)-quiet(b), over(a)-over(b), a.Priority.Compare(b.Priority), cmp.Compare(a.Since, b.Since))
		})
	}
	return list, counts, nil
}

// waiting returns the alarms that stand and the newest of each tag that is not
// normal although none of it stands.
func waiting(ctx context.Context, tx *sqlx.Tx, site string, states []alarmdb.Status) ([]alarmdb.Alarm, error) {
	list, err := alarmdb.Standing(ctx, tx, site)
	if err != nil {
		return nil, err
	}
	for _, s := range states {
		if s.Active {
			continue
		}
		last, ever, err := alarmdb.Last(ctx, tx, site, s.Tag())
		if err != nil {
			return nil, err
		}
		if ever && !last.Stands() {
			list = append(list, last)
		}
	}
	return list, nil
}

// post gives the newest alarm of each tag its tag's state; those before it are
// over and done with.
func post(alarms []alarmdb.Alarm, states []alarmdb.Status) (list []Posted, counts map[alarm.State]int) {
	by := map[alarm.Tag]alarmdb.Status{}
	counts = map[alarm.State]int{}
	for _, s := range states {
		by[s.Tag()] = s
		counts[s.State]++
	}
	newest := map[alarm.Tag]measure.Instant{}
	for _, a := range alarms {
		newest[a.Tag()] = max(newest[a.Tag()], a.Since)
	}
	for _, a := range alarms {
		s, ok := by[a.Tag()]
		if !ok || (newest[a.Tag()] != a.Since && !a.Stands()) {
			s = alarmdb.Status{Kind: a.Kind, Subject: a.Subject, State: alarm.Normal}
		}
		list = append(list, Posted{a, s})
	}
	return list, counts
}

// quiet is 1 for what does not call.
func quiet(p Posted) int {
	if p.Status.State.Calls() {
		return 0
	}
	return 1
}

// over is 1 for what only waits to be acknowledged: nothing can be done about it
// any more.
func over(p Posted) int {
	if p.Stands() {
		return 0
	}
	return 1
}
