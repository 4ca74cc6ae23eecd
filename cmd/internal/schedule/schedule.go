// Package schedule runs the jobs of a site's watch: once a minute, and at the
// start, it asks the database which slots are due and runs them.
//
// The cron library is only the metronome. It knows nothing of clock changes and
// of what was missed, so the slot that a job is due for is computed from the
// instant, and that a slot was run is kept in the database, where it outlives
// the program and is seen by others that watch the same site.
package schedule

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/jmoiron/sqlx"
	"github.com/robfig/cron/v3"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// Job is something that is run once a slot. Slots that were missed are run as
// one, the newest: a job catches up by what it finds recorded, not by how often
// it is called.
type Job struct {
	Name string
	// Slot returns the newest slot at or before an instant.
	Slot func(ctx context.Context, at measure.Instant) (measure.Instant, error)
	// Run does the work. Its context ends when the program is to stop.
	Run func(ctx context.Context) error
}

// Schedule is a site's jobs.
type Schedule struct {
	DB   *db.DB
	Site string
	Now  func() time.Time
	Log  *slog.Logger
	Jobs []Job
	// Patience is how long Run waits at the end for a job that is still running.
	Patience time.Duration
}

// everyMinute is the one entry of the metronome.
const everyMinute = "* * * * *"

// ErrStillRunning means that a job did not end in time when it was stopped.
// Nothing is half-written: what it had not committed is not there.
var ErrStillRunning = errors.New("a job was still running and was abandoned")

// Run runs what is due now and then every minute, until the context ends, which
// is no error. A job that fails or panics is logged and tried again a minute
// later, and holds up no other. The error wraps ErrStillRunning.
func (s *Schedule) Run(ctx context.Context) error {
	log := cronLog{s.Log}
	// Skip before Recover: the other way round a job that panicked once would
	// look as if it were running for ever.
	c := cron.New(cron.WithLocation(time.UTC), cron.WithLogger(log),
		cron.WithChain(cron.SkipIfStillRunning(log), cron.Recover(log)))
	id, err := c.AddFunc(everyMinute, func() { s.tick(ctx) })
	if err != nil {
		return fmt.Errorf("schedule: %w", err)
	}
	var first sync.WaitGroup
	first.Go(c.Entry(id).WrappedJob.Run)
	c.Start()
	<-ctx.Done()
	stopped := make(chan struct{})
	go func() {
		<-c.Stop().Done()
		first.Wait()
		close(stopped)
	}()
	select {
	case <-stopped:
		return nil
	case <-time.After(s.Patience):
		return fmt.Errorf("%w after %s", ErrStillRunning, s.Patience)
	}
}

// tick runs every job that is due, one after the other.
func (s *Schedule) tick(ctx context.Context) {
	recovered := cron.NewChain(cron.Recover(cronLog{s.Log}))
	for _, j := range s.Jobs {
		if ctx.Err() != nil {
			return
		}
		recovered.Then(cron.FuncJob(func() {
			if err := s.due(ctx, j); err != nil && ctx.Err() == nil {
				s.Log.Error("job failed", "job", j.Name, "error", err)
			}
		})).Run()
	}
}

// due runs a job for its newest slot, if nobody else has.
func (s *Schedule) due(ctx context.Context, j Job) (err error) {
	slot, err := j.Slot(ctx, s.now())
	if err != nil {
		return err
	}
	claimed := false
	err = s.DB.Write(ctx, func(tx *sqlx.Tx) error {
		claimed, err = alarmdb.Claim(ctx, tx, s.Site, j.Name, slot, s.now())
		return err
	})
	if err != nil || !claimed {
		return err
	}
	ended := errors.New("it panicked")
	defer func() { err = errors.Join(err, s.end(ctx, j, slot, ended)) }()
	ended = j.Run(ctx)
	return ended
}

// end notes what a run came to, also when the program is being stopped.
func (s *Schedule) end(ctx context.Context, j Job, slot measure.Instant, ended error) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), s.Patience)
	defer cancel()
	return s.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if ended != nil {
			return alarmdb.Fail(ctx, tx, s.Site, j.Name, slot, ended.Error())
		}
		return alarmdb.Finish(ctx, tx, s.Site, j.Name, slot, s.now())
	})
}

func (s *Schedule) now() measure.Instant { return measure.At(s.Now()) }
