package main

import (
	"context"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// What only the leader may do begins when this program leads, ends when another
// does, and begins again; when the watch is to stop it ends for good.
func TestWhatTheLeaderRunsEndsWhenAnotherLeads(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		var leads atomic.Bool
		var running, begun atomic.Int64
		done := make(chan error)
		go func() {
			done <- whileLeading(leads.Load, func(ctx context.Context) error {
				begun.Add(1)
				running.Add(1)
				<-ctx.Done()
				running.Add(-1)
				return nil
			})(ctx)
		}()
		for i, lead := range []bool{false, true, false, true} {
			leads.Store(lead)
			time.Sleep(2 * leadLook)
			synctest.Wait()
			if want := map[bool]int64{true: 1}[lead]; running.Load() != want {
				t.Errorf("step %d, leads %t: %d run, want %d", i, lead, running.Load(), want)
			}
		}
		stop()
		if err := <-done; err != nil || begun.Load() != 2 {
			t.Errorf("%d begun, %v; want 2 and no error", begun.Load(), err)
		}
	})
}
