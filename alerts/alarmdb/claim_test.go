package alarmdb_test

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestAChannelIsToldByOneProgramAtATime: of ten that want it at the same moment one
// gets it, and another only once that one was silent for as long as a claim lasts.
func TestAChannelIsToldByOneProgramAtATime(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		now := measure.Instant(measure.Day)
		var told alarmdb.Told
		write := func(fn func(tx *sqlx.Tx) error) {
			t.Helper()
			if err := d.Write(t.Context(), fn); err != nil {
				t.Error(err)
			}
		}
		write(func(tx *sqlx.Tx) (err error) {
			told, err = alarmdb.ToldBy(t.Context(), tx, "yard", "crib")
			return err
		})
		claim := func(holder string, at measure.Instant) (got bool) {
			write(func(tx *sqlx.Tx) (err error) {
				got, err = alarmdb.ClaimChannel(t.Context(), tx, "yard", told, holder, at)
				return err
			})
			return got
		}
		settle := func(holder string, to alarmdb.Told) (kept bool) {
			write(func(tx *sqlx.Tx) (err error) {
				kept, err = alarmdb.Settle(t.Context(), tx, "yard", to, holder)
				return err
			})
			return kept
		}
		var all sync.WaitGroup
		var got atomic.Int64
		var first atomic.Value
		for i := range 10 {
			all.Go(func() {
				if name := fmt.Sprint("p", i); claim(name, now) {
					got.Add(1)
					first.Store(name)
				}
			})
		}
		all.Wait()
		if got.Load() != 1 {
			t.Fatalf("%d programs got the channel, want 1", got.Load())
		}
		if claim("late", now.Add(alarmdb.ClaimFor-1)) {
			t.Error("it was taken away before its time")
		}
		if !claim("late", now.Add(alarmdb.ClaimFor)) {
			t.Error("a program that was killed holds the channel for ever")
		}
		next := alarmdb.Told{Channel: "crib", Seq: 7}
		if settle(first.Load().(string), next) {
			t.Error("a program that lost the channel has written")
		}
		if !settle("late", next) {
			t.Error("the program that has the channel cannot write")
		}
		if claim("stale", now) {
			t.Error("a program that knows less than is kept got the channel")
		}
		told = next
		if !claim("future", now.Add(measure.Day)) || !claim("back", now) {
			t.Error("a clock that was set back holds up the channel")
		}
	})
}
