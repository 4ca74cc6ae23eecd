package schedule

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
)

// Ran is one run of a job.
type Ran struct {
	Job string
	Due Due
	Err error
}

// Once runs every job that is due, one after the other, and returns those that
// were, for shops that have a scheduler of their own. A job that fails or panics
// holds up no other. A slot that was run is not run again.
func (s *Schedule) Once(ctx context.Context) (list []Ran) {
	for _, j := range s.Jobs {
		if ctx.Err() != nil {
			return list
		}
		due, ran, err := s.due(ctx, j)
		if ran || err != nil {
			list = append(list, Ran{j.Name, due, err})
		}
	}
	return list
}

// tick runs every job of a lane that is due, one after the other.
func (s *Schedule) tick(ctx context.Context, lane []Job) {
	for _, j := range lane {
		if ctx.Err() != nil || !s.leads() {
			return
		}
		if _, _, err := s.due(ctx, j); err != nil && ctx.Err() == nil && s.leads() {
			s.Log.Error("job failed", "job", j.Name, "error", err)
		}
	}
}

func (s *Schedule) leads() bool { return s.Leads == nil || s.Leads() }

// due runs a job for its newest slot, if nobody else has.
func (s *Schedule) due(ctx context.Context, j Job) (d Due, ran bool, err error) {
	d.At = s.now()
	if d.Slot, err = j.slot(ctx, d.At); err != nil {
		return d, false, err
	}
	err = s.DB.Write(ctx, func(tx *sqlx.Tx) (err error) {
		if d.Slot, err = s.beat(ctx, tx, j, d); err != nil {
			return err
		}
		if ran, err = alarmdb.Claim(ctx, tx, s.Site, j.Name, d.Slot, d.At, j.Retry); err == nil && ran {
			d.Last, err = alarmdb.LastRun(ctx, tx, s.Site, j.Name)
		}
		return err
	})
	if err != nil || !ran {
		return d, false, err
	}
	if d.First = d.Last == 0; !d.First && d.Late() != 0 {
		if d.Missed, err = j.missed(ctx, d.Last, d.Slot); err == nil && j.Slot != nil {
			s.Log.Warn("job is caught up", "job", j.Name, "slot", d.Slot.Time(), "how", d.String())
		}
	}
	if err == nil {
		err = s.run(ctx, j, d)
	}
	if s.After != nil {
		s.After(Ran{j.Name, d, err})
	}
	return d, true, errors.Join(err, s.end(ctx, j, d.Slot, err))
}

// beat returns the slot of a job that is run every minute. While the clock shows
// minutes that were run already, because it was set back, those that come are
// counted on from the newest: the watch goes on looking.
func (s *Schedule) beat(ctx context.Context, tx *sqlx.Tx, j Job, d Due) (measure.Instant, error) {
	if j.Slot != nil {
		return d.Slot, nil
	}
	newest, err := alarmdb.LastRun(ctx, tx, s.Site, j.Name)
	if err == nil && newest > d.At {
		return newest + 1, nil
	}
	return d.Slot, err
}

// run does the work of a job and says all the while that it is at it.
func (s *Schedule) run(ctx context.Context, j Job, d Due) (err error) {
	working, done := context.WithCancel(ctx)
	var renewing sync.WaitGroup
	renewing.Go(func() { s.renew(working, j, d.Slot) })
	defer renewing.Wait()
	defer done()
	defer func() {
		if r := recover(); r != nil {
			s.Log.Error("job panicked", "job", j.Name, "panic", r, "stack", string(debug.Stack()))
			err = fmt.Errorf("it panicked: %v", r)
		}
	}()
	return j.Run(ctx, d)
}

// renew keeps other programs from taking a long run for one that was killed.
func (s *Schedule) renew(ctx context.Context, j Job, slot measure.Instant) {
	beat := time.NewTicker((alarmdb.StaleAfter / 3).Std())
	defer beat.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-beat.C:
		}
		err := s.DB.Write(ctx, func(tx *sqlx.Tx) error {
			return alarmdb.Renew(ctx, tx, s.Site, j.Name, slot, s.now())
		})
		if err != nil && ctx.Err() == nil {
			s.Log.Warn("a long job could not say that it still runs", "job", j.Name, "error", err)
		}
	}
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
