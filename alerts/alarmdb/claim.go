package alarmdb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
)

// ClaimFor is how long a channel is one program's to tell. Whoever sends ends well
// before; a program that was killed holds up no other for longer.
const ClaimFor = measure.Minute

// ClaimChannel takes a channel for one program, which is named by holder, to tell.
// It reports false where another has it, and where it does not stand any more as t
// says. A claim that ends later than one taken now would is of a clock that was
// wrong, and counts for nothing.
func ClaimChannel(ctx context.Context, tx *sqlx.Tx, site string, t Told, holder string, now measure.Instant) (bool, error) {
	got, err := changed(tx.ExecContext(ctx, `UPDATE alarm_channel SET holder = $5, until_us = $6
		WHERE site = $1 AND channel = $2 AND seq = $3 AND upto = $4
			AND (holder = '' OR holder = $5 OR until_us <= $7 OR until_us > $6)`,
		site, t.Channel, t.Seq, t.Upto, holder, now.Add(ClaimFor), now))
	if err != nil {
		return false, fmt.Errorf("claim channel %s: %w", t.Channel, err)
	}
	return got, nil
}

// Settle keeps how far a channel is and gives it back. It reports false, and keeps
// nothing, where the holder has lost it to another meanwhile.
func Settle(ctx context.Context, tx *sqlx.Tx, site string, t Told, holder string) (bool, error) {
	set, err := changed(tx.ExecContext(ctx, `UPDATE alarm_channel
		SET seq = $3, upto = $4, attempts = $5, next_us = $6, problem = $7, holder = '', until_us = 0
		WHERE site = $1 AND channel = $2 AND holder = $8`,
		site, t.Channel, t.Seq, t.Upto, t.Attempts, t.Next, t.Problem, holder))
	if err != nil {
		return false, fmt.Errorf("channel %s: %w", t.Channel, err)
	}
	return set, nil
}
