package alarmdb_test

import (
	"errors"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

var cold = alarm.Tag{Kind: alarm.OvenCold, Subject: "H1"}

// advance returns the state after an event, or the error.
func advance(t testing.TB, d *db.DB, s alarmdb.Step) (out alarmdb.Status, err error) {
	t.Helper()
	err = d.Write(t.Context(), func(tx *sqlx.Tx) (err error) {
		out, err = alarmdb.Advance(t.Context(), tx, "yard", s)
		return err
	})
	return out, err
}

func TestEveryTransitionIsKeptWithWhoWhenAndWhy(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		shelf := alarm.Shelf{Until: after(measure.Hour), Once: true, Priority: alarm.High}
		for i, s := range []alarmdb.Step{
			{Event: alarm.Raise, By: "watch", Why: "it began"},
			{Event: alarm.Ack, By: "Oakes", Why: "seen"},
			{Event: alarm.Shelve, By: "Oakes", Why: "its door is being mended", Shelf: shelf},
			{Event: alarm.Clear, By: "watch", Why: "it ceased"},
			{Event: alarm.Unshelve, By: "watch", Why: "it has ceased"},
		} {
			s.Tag, s.At = cold, after(measure.Duration(i)*measure.Minute)
			got, err := advance(t, open(), s)
			if err != nil {
				t.Fatal(err)
			}
			if want := s.Event == alarm.Shelve || s.Event == alarm.Clear; (got.Shelf() == shelf) != want {
				t.Errorf("after %s the shelf is %+v, kept %t expected", s.Event, got.Shelf(), want)
			}
		}
		_, err := advance(t, d, alarmdb.Step{Tag: cold, Event: alarm.Ack, At: noon, By: "Oakes", Why: "seen"})
		if _, ok := errors.AsType[*alarm.NotPossibleError](err); !ok {
			t.Errorf("acknowledging what is normal: %v, want a NotPossibleError", err)
		}
		write(t, d, func(tx *sqlx.Tx) error {
			list, err := alarmdb.History(t.Context(), tx, "yard", alarm.Tag{}, noon, after(measure.Hour))
			if err != nil {
				return err
			}
			if len(list) != 5 || list[2].Why != "its door is being mended" || list[2].By != "Oakes" || list[2].At != after(2*measure.Minute) ||
				list[2].From != alarm.Acknowledged || list[2].To != alarm.OnShelf || list[4].To != alarm.Normal {
				t.Errorf("history %+v: five transitions, the third to the shelf by Oakes, expected", list)
			}
			some, err := alarmdb.History(t.Context(), tx, "yard", alarm.Tag{Subject: "H2"}, noon, after(measure.Hour))
			if err == nil && len(some) != 0 {
				t.Errorf("history of another oven: %+v", some)
			}
			return err
		})
	})
}

// TestFiftyAcknowledgementsAreOne: A8 of the requirements, the others are told
// that it is done.
func TestFiftyAcknowledgementsAreOne(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		if _, err := advance(t, open(), alarmdb.Step{Tag: cold, Event: alarm.Raise, At: noon, By: "watch", Why: "it began"}); err != nil {
			t.Fatal(err)
		}
		var done, told atomic.Int32
		var wg sync.WaitGroup
		for range 5 {
			d := open()
			wg.Go(func() {
				for range 10 {
					_, err := advance(t, d, alarmdb.Step{Tag: cold, Event: alarm.Ack, At: noon, By: "Oakes", Why: "seen"})
					_, ok := errors.AsType[*alarm.NotPossibleError](err)
					switch {
					case err == nil:
						done.Add(1)
					case ok:
						told.Add(1)
					default:
						t.Error(err)
					}
				}
			})
		}
		wg.Wait()
		if done.Load() != 1 || told.Load() != 49 {
			t.Errorf("%d acknowledged, %d were told, want 1 and 49", done.Load(), told.Load())
		}
	})
}
