package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Record returns every transition before an instant with the priority of the
// alarm that it is about, in the order in which they came about.
func Record(ctx context.Context, tx *sqlx.Tx, site string, to measure.Instant) ([]alarm.Transition, error) {
	var rows []struct {
		Kind     alarm.Kind      `db:"kind"`
		Subject  string          `db:"subject"`
		At       measure.Instant `db:"at_us"`
		Event    alarm.Event     `db:"event"`
		To       alarm.State     `db:"to_state"`
		Priority alarm.Priority  `db:"priority"`
	}
	err := tx.SelectContext(ctx, &rows, `SELECT e.kind, e.subject, e.at_us, e.event, e.to_state, coalesce(a.priority, '') AS priority
		FROM alarm_event e LEFT JOIN alarm a
			ON a.site = e.site AND a.kind = e.kind AND a.subject = e.subject AND a.since_us = e.since_us
		WHERE e.site = $1 AND e.at_us < $2 ORDER BY e.seq`, site, to)
	if err != nil {
		return nil, fmt.Errorf("record of alarms: %w", err)
	}
	list := make([]alarm.Transition, len(rows))
	for i, r := range rows {
		list[i] = alarm.Transition(r)
	}
	return list, nil
}
