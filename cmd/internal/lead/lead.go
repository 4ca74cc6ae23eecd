// Package lead sees to it that of several programs that watch a site one acts.
//
// The leader gives signs of life in the database; another takes over when it has
// seen none for a while by its own clock, of which only differences count, so that
// clocks that are set wrong, or set anew, matter nothing. A leader that was frozen
// and wakes up again finds out when it writes: each of its transactions first asks
// whether its token is still the one in force.
package lead

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// ErrNotLeading means that another program leads. Nothing was written.
var ErrNotLeading = errors.New("another program leads the watch of this site")

// Lease is how long a leader may be silent before another takes over, unless a
// site says otherwise.
const Lease = 15 * time.Second

// outdated is how old by its holder's clock a lease is that a program which
// starts does not wait for. Clocks that differ by more do no harm: whoever loses
// the lead by that stands by.
const outdated = 5 * measure.Minute

// Lead is one program's part in who leads. Its methods may be called by several
// goroutines.
type Lead struct {
	db    *db.DB
	site  string
	now   func() time.Time // what the clock shows, for others to read
	lease time.Duration
	log   *slog.Logger
	me    alarmdb.Lead

	mu        sync.Mutex
	token     int64     // zero: this one does not lead
	confirmed time.Time // when it last was known to
	looked    bool      // it has looked who leads
	seen      alarmdb.Lead
	seenAt    time.Time // since when that one was silent
	changed   func(leads bool)
}

// New returns the part of this process, which does not lead yet. Changed is told
// of each change; nil for nobody.
func New(d *db.DB, site string, now func() time.Time, lease time.Duration, log *slog.Logger, changed func(leads bool)) *Lead {
	return &Lead{db: d, site: site, now: now, lease: lease, log: log, me: myself(), changed: changed}
}

// Leads reports whether this program leads as far as it knows: it does not once
// it could not say so to the database for as long as the lease.
func (l *Lead) Leads() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.token != 0 && time.Since(l.confirmed) < l.lease
}

// Check is the fence before each write of the leader. The error is ErrNotLeading
// if this one does not lead any more.
func (l *Lead) Check(ctx context.Context, tx *sqlx.Tx) error {
	l.mu.Lock()
	token := l.token
	l.mu.Unlock()
	if token == 0 {
		return ErrNotLeading
	}
	kept, err := alarmdb.KeepLead(ctx, tx, l.site, token)
	if err == nil && !kept {
		l.lost(token)
		err = ErrNotLeading
	}
	return err
}

// Confirm asks the database whether this one leads. It is asked right before what
// cannot be taken back.
func (l *Lead) Confirm(ctx context.Context) error {
	return l.db.Write(ctx, func(tx *sqlx.Tx) error { return l.Check(ctx, tx) })
}

// lost notes that a token is not in force any more.
func (l *Lead) lost(token int64) {
	l.mu.Lock()
	mine := l.token == token
	if mine {
		l.token = 0
	}
	l.mu.Unlock()
	if mine {
		l.log.Warn("another program leads now: this one stands by")
		l.tell(false)
	}
}

func (l *Lead) tell(leads bool) {
	if l.changed != nil {
		l.changed(leads)
	}
}

// Keep leads while it can and otherwise waits for its turn, until the context
// ends. Then it lays the lead down, so that another need not wait for it.
func (l *Lead) Keep(ctx context.Context) {
	for {
		pause := l.lease / 3
		if !l.holds() {
			pause = min(pause, time.Second)
		}
		select {
		case <-ctx.Done():
			l.layDown(ctx)
			return
		case <-time.After(pause):
		}
		if err := l.Step(ctx); err != nil && ctx.Err() == nil {
			l.log.Warn("who leads cannot be said", "error", err)
		}
	}
}

// holds reports whether it was not told that it lost the lead.
func (l *Lead) holds() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.token != 0
}

// Step gives a sign of life if this one leads, and takes the lead if it is free.
func (l *Lead) Step(ctx context.Context) error {
	if l.holds() {
		return l.renew(ctx)
	}
	var found alarmdb.Lead
	err := l.db.Read(ctx, func(tx *sqlx.Tx) (err error) {
		found, err = alarmdb.Leader(ctx, tx, l.site)
		return err
	})
	if err != nil || !l.mayTake(found) {
		return err
	}
	return l.take(ctx, found)
}

func (l *Lead) renew(ctx context.Context) error {
	begun, kept := time.Now(), false
	token := l.me.Token
	err := l.db.Write(ctx, func(tx *sqlx.Tx) (err error) {
		kept, err = alarmdb.RenewLead(ctx, tx, l.site, token, measure.At(l.now()))
		return err
	})
	switch {
	case err != nil:
		return err
	case !kept:
		l.lost(token)
		return nil
	}
	l.mu.Lock()
	l.confirmed = begun
	l.mu.Unlock()
	return nil
}

// mayTake notes a sign of life of the one that leads, and reports whether that one
// laid the lead down or was silent for as long as the lease. At first sight the
// lead is taken from a process that is no more, and from one that was last alive
// long ago.
func (l *Lead) mayTake(found alarmdb.Lead) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	first := !l.looked
	l.looked = true
	if first || found.Token != l.seen.Token || found.Beat != l.seen.Beat {
		l.seen, l.seenAt = found, time.Now()
	}
	switch {
	case found.Free():
		return true
	case first && (gone(l.me, found) || measure.At(l.now()).Sub(found.Renewed) > outdated):
		return true
	}
	return time.Since(l.seenAt) >= l.lease
}

func (l *Lead) take(ctx context.Context, from alarmdb.Lead) error {
	begun, taken := time.Now(), false
	mine := l.me
	mine.Renewed = measure.At(l.now())
	err := l.db.Write(ctx, func(tx *sqlx.Tx) (err error) {
		mine, taken, err = alarmdb.TakeLead(ctx, tx, l.site, from, mine)
		return err
	})
	if err != nil || !taken {
		return err
	}
	l.mu.Lock()
	l.me, l.token, l.confirmed = mine, mine.Token, begun
	l.mu.Unlock()
	l.log.Info("this program leads", "token", mine.Token)
	l.tell(true)
	return nil
}

// layDown ends the lead when the program is to stop.
func (l *Lead) layDown(ctx context.Context) {
	if !l.holds() {
		return
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), l.lease)
	defer cancel()
	err := l.db.Write(ctx, func(tx *sqlx.Tx) error { return alarmdb.LayDownLead(ctx, tx, l.site, l.me.Token) })
	if err != nil {
		l.log.Warn("the lead could not be laid down: another program waits for it", "for", l.lease, "error", err)
	}
	l.mu.Lock()
	l.token = 0
	l.mu.Unlock()
}

// Once takes the lead for one run and returns what lays it down. The error wraps
// ErrNotLeading and says who leads where another does.
func (l *Lead) Once(ctx context.Context) (layDown func(), err error) {
	if err := l.Step(ctx); err != nil {
		return nil, err
	}
	if !l.holds() {
		return nil, fmt.Errorf("%w: process %d on %s", ErrNotLeading, l.seen.Process, l.seen.Host)
	}
	return func() { l.layDown(ctx) }, nil
}
