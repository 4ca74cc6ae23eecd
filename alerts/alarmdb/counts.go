package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Count is how many tags are in a state, by the priority of their newest alarm.
type Count struct {
	State    alarm.State    `db:"state"`
	Priority alarm.Priority `db:"priority"`
	N        int64          `db:"n"`
}

// Counts returns how many tags are in each state but normal.
func Counts(ctx context.Context, tx *sqlx.Tx, site string) ([]Count, error) {
	var list []Count
	err := tx.SelectContext(ctx, &list, `SELECT s.state, a.priority, count(*) AS n
		FROM alarm_state s JOIN alarm a ON a.site = s.site AND a.kind = s.kind AND a.subject = s.subject
			AND a.since_us = (SELECT max(since_us) FROM alarm WHERE site = s.site AND kind = s.kind AND subject = s.subject)
		WHERE s.site = $1 AND s.state <> 'normal'
		GROUP BY s.state, a.priority ORDER BY s.state, a.priority`, site)
	if err != nil {
		return nil, fmt.Errorf("count the alarms: %w", err)
	}
	return list, nil
}

// Untold is what a channel was not told yet.
type Untold struct {
	Channel string          `db:"channel"`
	Events  int64           `db:"events"`    // that it has yet to be told of, or to pass over
	Oldest  measure.Instant `db:"oldest_us"` // when the first of them was; zero: there are none
	Failed  int64           `db:"attempts"`  // attempts in a row
}

// AllUntold returns for each channel that was ever set up what it was not told
// yet, in the order of their names.
func AllUntold(ctx context.Context, tx *sqlx.Tx, site string) ([]Untold, error) {
	var list []Untold
	err := tx.SelectContext(ctx, &list, `SELECT c.channel, c.attempts, count(e.seq) AS events, coalesce(min(e.at_us), 0) AS oldest_us
		FROM alarm_channel c LEFT JOIN alarm_event e ON e.site = c.site AND e.seq > c.seq
		WHERE c.site = $1 GROUP BY c.channel, c.attempts ORDER BY c.channel`, site)
	if err != nil {
		return nil, fmt.Errorf("what the channels were not told: %w", err)
	}
	return list, nil
}
