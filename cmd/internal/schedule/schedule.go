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
	"slices"
	"sync"
	"time"

	"github.com/robfig/cron/v3"

	"ovenward/migrations/db"
)

// Schedule is a site's jobs.
type Schedule struct {
	DB   *db.DB
	Site string
	Now  func() time.Time
	Log  *slog.Logger
	Jobs []Job
	// Leads reports whether this program is the one to run jobs; nil: it is.
	Leads func() bool
	// After is told of each run when it has ended; nil: nobody is.
	After func(Ran)
	// Patience is how long Run waits at the end for a job that is still running.
	Patience time.Duration
}

// everyMinute is when every lane of the metronome beats.
const everyMinute = "* * * * *"

// ErrStillRunning means that a job did not end in time when it was stopped.
// Nothing is half-written: what it had not committed is not there.
var ErrStillRunning = errors.New("a job was still running and was abandoned")

// Run runs what is due now and then every minute, until the context ends, which
// is no error. A job that fails or panics is logged and tried again, and holds
// up no other; one that takes long holds up those of its lane alone. The error
// wraps ErrStillRunning.
func (s *Schedule) Run(ctx context.Context) error {
	c := cron.New(cron.WithLocation(time.UTC), cron.WithLogger(cronLog{s.Log, ""}))
	var first sync.WaitGroup
	for _, name := range s.lanes() {
		lane := s.lane(ctx, name)
		if _, err := c.AddJob(everyMinute, lane); err != nil {
			return fmt.Errorf("schedule: %w", err)
		}
		first.Go(lane.Run)
	}
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

// lanes returns the names of the lanes, in the order in which the jobs name them.
func (s *Schedule) lanes() (names []string) {
	for _, j := range s.Jobs {
		if !slices.Contains(names, j.Lane) {
			names = append(names, j.Lane)
		}
	}
	return names
}

// lane returns what the metronome runs for a lane. Skip comes before Recover: the
// other way round a job that panicked once would look as if it were running for
// ever.
func (s *Schedule) lane(ctx context.Context, name string) cron.Job {
	var jobs []Job
	for _, j := range s.Jobs {
		if j.Lane == name {
			jobs = append(jobs, j)
		}
	}
	log := cronLog{s.Log, name}
	return cron.NewChain(cron.SkipIfStillRunning(log), cron.Recover(log)).
		Then(cron.FuncJob(func() { s.tick(ctx, jobs) }))
}
