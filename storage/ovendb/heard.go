package ovendb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// Heard is how it stands with a source that the daemon reads by itself.
type Heard struct {
	Kind    SourceKind       `db:"kind"`
	Name    string           `db:"name"`
	At      measure.Instant  `db:"heard_us"`  // when something came last; zero: nothing yet
	Newest  measure.Instant  `db:"newest_us"` // the time of the newest reading, by the source's clock
	Ahead   measure.Duration `db:"ahead_us"`  // how far its clock was ahead of ours; 0: it was not
	Problem string           `db:"problem"`   // why it cannot be read now; empty: it can
	Since   measure.Instant  `db:"since_us"`  // of the problem
}

// Hear notes that something came from a source; it has no problem then.
func Hear(ctx context.Context, tx *sqlx.Tx, site string, h Heard) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO reading_heard (site, kind, name, heard_us, newest_us, ahead_us, problem, since_us)
		VALUES ($1, $2, $3, $4, $5, $6, '', 0)
		ON CONFLICT (site, kind, name) DO UPDATE SET heard_us = excluded.heard_us, ahead_us = excluded.ahead_us,
			newest_us = CASE WHEN excluded.newest_us > reading_heard.newest_us THEN excluded.newest_us ELSE reading_heard.newest_us END,
			problem = '', since_us = 0`,
		site, string(h.Kind), h.Name, h.At, h.Newest, h.Ahead)
	if err != nil {
		return fmt.Errorf("source %s %s: %w", h.Kind, h.Name, err)
	}
	return nil
}

// Stand notes why a source cannot be read, empty if it can. What is wrong goes on
// since it was first noted.
func Stand(ctx context.Context, tx *sqlx.Tx, site string, s Source, problem string, at measure.Instant) error {
	since := at
	if problem == "" {
		since = 0
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO reading_heard (site, kind, name, heard_us, newest_us, ahead_us, problem, since_us)
		VALUES ($1, $2, $3, 0, 0, 0, $4, $5)
		ON CONFLICT (site, kind, name) DO UPDATE SET problem = excluded.problem,
			since_us = CASE WHEN reading_heard.problem = '' OR excluded.problem = ''
				THEN excluded.since_us ELSE reading_heard.since_us END`,
		site, string(s.Kind), s.Name, problem, since)
	if err != nil {
		return fmt.Errorf("source %s: %w", s, err)
	}
	return nil
}

// HeardOf returns how it stands with the sources of a site.
func HeardOf(ctx context.Context, tx *sqlx.Tx, site string) ([]Heard, error) {
	var list []Heard
	err := tx.SelectContext(ctx, &list, `SELECT kind, name, heard_us, newest_us, ahead_us, problem, since_us FROM reading_heard
		WHERE site = $1 ORDER BY kind, name`, site)
	if err != nil {
		return nil, fmt.Errorf("sources: %w", err)
	}
	return list, nil
}
