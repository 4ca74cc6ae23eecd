package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// Lead says which of the programs that watch a site acts.
type Lead struct {
	Token   int64           `db:"token"`      // grows with each change of hands
	Beat    int64           `db:"beat"`       // grows while the leader lives
	Host    string          `db:"host"`       // it runs on; empty: it laid the lead down
	Process int64           `db:"process"`    // its number there
	Renewed measure.Instant `db:"renewed_us"` // by its own clock
}

// Free reports whether nobody leads.
func (l Lead) Free() bool { return l.Host == "" }

// Leader returns who leads a site; a zero token if nobody ever did.
func Leader(ctx context.Context, tx *sqlx.Tx, site string) (Lead, error) {
	var list []Lead
	err := tx.SelectContext(ctx, &list, `SELECT token, beat, host, process, renewed_us FROM watch_lead WHERE site = $1`, site)
	if err != nil || len(list) == 0 {
		return Lead{}, leadError(site, err)
	}
	return list[0], nil
}

// TakeLead takes the lead from what was seen to lead, a zero one for nobody, and
// returns it with a token of its own. It reports false if in the meantime that one
// gave a sign of life or another took the lead.
func TakeLead(ctx context.Context, tx *sqlx.Tx, site string, seen, mine Lead) (Lead, bool, error) {
	mine.Token, mine.Beat = seen.Token+1, 0
	statement := `UPDATE watch_lead SET token = $2, beat = 0, host = $3, process = $4, renewed_us = $5
		WHERE site = $1 AND token = $6 AND beat = $7`
	args := []any{site, mine.Token, mine.Host, mine.Process, mine.Renewed, seen.Token, seen.Beat}
	if seen.Token == 0 {
		statement = `INSERT INTO watch_lead (site, token, beat, host, process, renewed_us) VALUES ($1, $2, 0, $3, $4, $5)
			ON CONFLICT (site) DO NOTHING`
		args = args[:5]
	}
	taken, err := changed(tx.ExecContext(ctx, statement, args...))
	return mine, taken, leadError(site, err)
}

// KeepLead gives a sign of life. It reports false, and nothing may be written, if
// the token is not that of the leader any more. Until the transaction ends nobody
// else takes the lead, so that what else is written in it is the leader's.
func KeepLead(ctx context.Context, tx *sqlx.Tx, site string, token int64) (bool, error) {
	kept, err := changed(tx.ExecContext(ctx, `UPDATE watch_lead SET beat = beat + 1
		WHERE site = $1 AND token = $2 AND host <> ''`, site, token))
	return kept, leadError(site, err)
}

// RenewLead is KeepLead that notes the time by the leader's clock as well.
func RenewLead(ctx context.Context, tx *sqlx.Tx, site string, token int64, now measure.Instant) (bool, error) {
	kept, err := changed(tx.ExecContext(ctx, `UPDATE watch_lead SET beat = beat + 1, renewed_us = $3
		WHERE site = $1 AND token = $2 AND host <> ''`, site, token, now))
	return kept, leadError(site, err)
}

// LayDownLead lets another take the lead at once.
func LayDownLead(ctx context.Context, tx *sqlx.Tx, site string, token int64) error {
	_, err := tx.ExecContext(ctx, `UPDATE watch_lead SET beat = beat + 1, host = '' WHERE site = $1 AND token = $2`, site, token)
	return leadError(site, err)
}

func leadError(site string, err error) error {
	if err != nil {
		return fmt.Errorf("who leads the watch of site %s: %w", site, err)
	}
	return nil
}
