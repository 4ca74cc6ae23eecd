package alarmdb_test

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// noon is 2025-06-05 12:00 UTC.
const noon measure.Instant = 1749124800 * 1_000_000

func after(d measure.Duration) measure.Instant { return noon.Add(d) }

func overdue(slip string, since measure.Instant) alarm.Condition {
	return alarm.Condition{Kind: alarm.ExposurePast, Subject: slip, Since: since, Priority: alarm.High,
		What: "40 rods past their limit", Consequence: "QA looks at J-101", Action: "bring them back", Due: since.Add(measure.Hour)}
}

func write(t testing.TB, d *db.DB, fn func(tx *sqlx.Tx) error) {
	t.Helper()
	if err := d.Write(t.Context(), fn); err != nil {
		t.Fatal(err)
	}
}

func raise(t testing.TB, d *db.DB, site string, at measure.Instant, list ...alarm.Condition) (raised []alarmdb.Alarm) {
	t.Helper()
	write(t, d, func(tx *sqlx.Tx) (err error) {
		raised, err = alarmdb.Raise(t.Context(), tx, site, at, list)
		return err
	})
	return raised
}

func standing(t testing.TB, d *db.DB, site string) (list []alarmdb.Alarm) {
	t.Helper()
	err := d.Read(t.Context(), func(tx *sqlx.Tx) (err error) {
		list, err = alarmdb.Standing(t.Context(), tx, site)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestAConditionIsRaisedOnceEver(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		first := overdue("S1", noon)
		if got := raise(t, d, "yard", after(measure.Minute), first); len(got) != 1 || got[0].Late {
			t.Fatalf("raised %+v, want one alarm in time", got)
		}
		for range 50 {
			if got := raise(t, open(), "yard", after(measure.Hour), first); len(got) != 0 {
				t.Fatalf("raised again: %+v", got)
			}
		}
		write(t, d, func(tx *sqlx.Tx) error {
			ended, err := alarmdb.Clear(t.Context(), tx, "yard", first.Key(), after(2*measure.Hour), nil)
			if !ended {
				t.Error("a standing alarm was not cleared")
			}
			return err
		})
		if got := raise(t, d, "yard", after(3*measure.Hour), first); len(got) != 0 {
			t.Errorf("raised again after it was cleared: %+v", got)
		}
		if got := standing(t, d, "yard"); len(got) != 0 {
			t.Errorf("standing %+v, want none", got)
		}
		others := []alarm.Condition{overdue("S2", noon), overdue("S1", noon+1)}
		if got := raise(t, d, "yard", after(measure.Minute), others...); len(got) != 2 {
			t.Errorf("another slip and another time: raised %d, want 2", len(got))
		}
		if got := raise(t, d, "depot", after(measure.Minute), first); len(got) != 1 {
			t.Errorf("another site: raised %d, want 1", len(got))
		}
	})
}

func TestAnAlarmIsKeptAsItWasRaised(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		over := overdue("S1", noon)
		over.Until = after(10 * measure.Minute)
		raised := raise(t, d, "yard", after(alarm.LateAfter+1), over, overdue("S0", after(measure.Minute)))
		if len(raised) != 2 || !raised[0].Late || raised[1].Late {
			t.Errorf("%+v: one late, one not, expected", raised)
		}
		var all []alarmdb.Alarm
		err := d.Read(t.Context(), func(tx *sqlx.Tx) (err error) {
			all, err = alarmdb.All(t.Context(), tx, "yard", noon)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(raised, all); diff != "" {
			t.Errorf("kept otherwise than raised (-raised +kept):\n%s", diff)
		}
		if got := standing(t, d, "yard"); len(got) != 1 || got[0].Subject != "S0" {
			t.Errorf("standing %+v, want that of S0 alone", got)
		}
	})
}

func TestTheMarkNeverGoesBack(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		var got alarmdb.Mark
		for _, step := range []struct{ set, want alarmdb.Mark }{
			{alarmdb.Mark{At: noon, Seq: 10}, alarmdb.Mark{At: noon, Seq: 10}},
			{alarmdb.Mark{At: noon + 5, Seq: 10}, alarmdb.Mark{At: noon + 5, Seq: 10}},
			{alarmdb.Mark{At: noon, Seq: 11}, alarmdb.Mark{At: noon + 5, Seq: 10}},
			{alarmdb.Mark{At: noon + 9, Seq: 9}, alarmdb.Mark{At: noon + 5, Seq: 10}},
		} {
			write(t, d, func(tx *sqlx.Tx) (err error) {
				if err = alarmdb.SetWatched(t.Context(), tx, "yard", step.set); err == nil {
					got, err = alarmdb.Watched(t.Context(), tx, "yard")
				}
				return err
			})
			if got != step.want {
				t.Errorf("after %+v the mark is %+v, want %+v", step.set, got, step.want)
			}
		}
	})
}

// claim returns whether a slot could be taken.
func claim(t testing.TB, d *db.DB, slot, now measure.Instant) (claimed bool) {
	t.Helper()
	err := d.Write(t.Context(), func(tx *sqlx.Tx) (err error) {
		claimed, err = alarmdb.Claim(t.Context(), tx, "yard", "days", slot, now, 0)
		return err
	})
	if err != nil {
		t.Error(err)
	}
	return claimed
}

func TestASlotIsRunOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		expect := func(what string, slot, now measure.Instant, want bool) {
			t.Helper()
			if got := claim(t, d, slot, now); got != want {
				t.Errorf("%s: claimed %t, want %t", what, got, want)
			}
		}
		expect("a new slot", noon, noon, true)
		expect("one that another is at", noon, after(measure.Minute), false)
		expect("one whose program must have been killed", noon, after(alarmdb.StaleAfter+1), true)
		write(t, d, func(tx *sqlx.Tx) error { return alarmdb.Fail(t.Context(), tx, "yard", "days", noon, "disk full") })
		expect("one that failed", noon, after(alarmdb.StaleAfter+2), true)
		write(t, d, func(tx *sqlx.Tx) error { return alarmdb.Finish(t.Context(), tx, "yard", "days", noon, noon+5) })
		expect("one that was run", noon, after(measure.Day), false)
		expect("one before it", noon-1, after(measure.Day), false)
		expect("one after it", noon+1, after(measure.Day), true)
		write(t, d, func(tx *sqlx.Tx) error {
			runs, err := alarmdb.Runs(t.Context(), tx, "yard", "days")
			if err == nil && (len(runs) != 2 || runs[0].Finished == nil || runs[0].Result != "" || runs[1].Finished != nil) {
				t.Errorf("runs %+v: the first finished, the second under way, expected", runs)
			}
			return err
		})
		far := after(30 * measure.Day)
		expect("a month later", far, far, true)
		write(t, d, func(tx *sqlx.Tx) error {
			if err := alarmdb.Finish(t.Context(), tx, "yard", "days", far, far); err != nil {
				return err
			}
			runs, err := alarmdb.Runs(t.Context(), tx, "yard", "days")
			if err == nil && len(runs) != 1 {
				t.Errorf("%d runs are remembered, want the newest alone", len(runs))
			}
			return err
		})
	})
}

// TestManyProgramsRunASlotOnce lets eight handles go for twenty slots.
func TestManyProgramsRunASlotOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		const programs, slots = 8, 20
		var won [slots]atomic.Int32
		var wg sync.WaitGroup
		for range programs {
			d := open()
			wg.Go(func() {
				for i := range slots {
					slot := after(measure.Duration(i) * measure.Minute)
					err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
						_, err := alarmdb.Raise(t.Context(), tx, "yard", slot, []alarm.Condition{overdue(fmt.Sprint("S", i), slot)})
						return err
					})
					if err != nil {
						t.Error(err)
					}
					if claim(t, d, slot, slot) {
						won[i].Add(1)
					}
				}
			})
		}
		wg.Wait()
		for i := range won {
			if n := won[i].Load(); n != 1 {
				t.Errorf("slot %d was taken by %d programs, want 1", i, n)
			}
		}
		if got := standing(t, open(), "yard"); len(got) != slots {
			t.Errorf("%d alarms stand, want %d", len(got), slots)
		}
	})
}
