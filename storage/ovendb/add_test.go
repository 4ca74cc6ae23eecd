package ovendb_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// start is 2025-06-05 00:00 UTC.
const start measure.Instant = 1_749_081_600_000_000

// site is a name of its own for each case, so that cases share a database.
type site struct {
	ctx  context.Context
	tb   rapid.TB
	db   *db.DB
	name string

	noted measure.Instant // when readings come in
}

func (s site) add(list ...ovendb.Reading) (added int64) {
	s.tb.Helper()
	err := s.db.Write(s.ctx, func(tx *sqlx.Tx) (err error) {
		added, err = ovendb.Add(s.ctx, tx, s.name, ovendb.Arrival{Noted: s.noted}, list)
		return err
	})
	if err != nil {
		s.tb.Fatalf("add %d readings: %v", len(list), err)
	}
	return added
}

func (s site) conflicts(list []ovendb.Reading) (found []ovendb.Conflict) {
	s.tb.Helper()
	err := s.db.Read(s.ctx, func(tx *sqlx.Tx) (err error) {
		found, err = ovendb.Conflicts(s.ctx, tx, s.name, list)
		return err
	})
	if err != nil {
		s.tb.Fatalf("conflicts of %d readings: %v", len(list), err)
	}
	return found
}

// all returns everything that is stored of the sensors.
func (s site) all(sensors ...string) map[string][]evidence.Reading {
	s.tb.Helper()
	all := map[string][]evidence.Reading{}
	for _, sensor := range sensors {
		err := s.db.Read(s.ctx, func(tx *sqlx.Tx) error {
			list, err := ovendb.Readings(s.ctx, tx, s.name, sensor, 0, start.Add(1000*measure.Day))
			if len(list) > 0 {
				all[sensor] = list
			}
			return err
		})
		if err != nil {
			s.tb.Fatal(err)
		}
	}
	return all
}

func reading(sensor string, minute int, celsius int64) ovendb.Reading {
	at := start.Add(measure.Duration(minute) * measure.Minute)
	return ovendb.Reading{Sensor: sensor, At: at, Temp: measure.Celsius(celsius)}
}

// minutes are readings of a sensor, one a minute.
func minutes(sensor string, from, n int, celsius int64) []ovendb.Reading {
	list := make([]ovendb.Reading, n)
	for i := range list {
		list[i] = reading(sensor, from+i, celsius)
	}
	return list
}

// The numbers of rows lie about those at which the way of storing changes.
func TestReadingThatIsThereIsLeftAsItWasFirstStored(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		s := site{t.Context(), t, open(), "main", 0}
		for _, n := range []int{1, 19, 20, 21, 49, 50, 51, 499, 500, 501, 521} {
			s.name = fmt.Sprint("site ", n)
			first := minutes("H1", 0, n, 130)
			if got := s.add(first...); got != int64(n) {
				t.Errorf("%d new readings: Add() = %d", n, got)
			}
			if got := s.add(first...); got != 0 {
				t.Errorf("%d readings again: Add() = %d, want 0", n, got)
			}
			later := minutes("H1", 0, n+1, 99) // all but the last are there
			if got := s.add(later...); got != 1 {
				t.Errorf("%d readings and a new one: Add() = %d, want 1", n, got)
			}
			stored := s.all("H1")["H1"]
			if len(stored) != n+1 || stored[0].Temp != measure.Celsius(130) || stored[n].Temp != measure.Celsius(99) {
				t.Errorf("%d readings stored, first %v, last %v, want %d, 130 and 99 °C", len(stored), stored[0], stored[n], n+1)
			}
		}
	})
}

func TestOfTwoReadingsOfAListTheFirstCounts(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		for name, more := range map[string]int{"few": 0, "many": 200} {
			s := site{t.Context(), t, open(), name, 0}
			list := append(minutes("H2", 0, more, 120), reading("H1", 5, 130), reading("H1", 5, 99), reading("H1", 4, 98))
			if got, want := s.add(list...), int64(len(list)-1); got != want {
				t.Errorf("%s: Add() = %d, want %d", name, got, want)
			}
			want := []evidence.Reading{
				{At: start.Add(4 * measure.Minute), Temp: measure.Celsius(98)},
				{At: start.Add(5 * measure.Minute), Temp: measure.Celsius(130)}}
			if diff := cmp.Diff(want, s.all("H1")["H1"]); diff != "" {
				t.Errorf("%s (-want +got):\n%s", name, diff)
			}
		}
	})
}

func TestConflictsAreTheReadingsStoredWithAnotherValue(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		s := site{t.Context(), t, open(), "main", 0}
		s.add(minutes("H1", 0, 100, 130)...)
		s.add(minutes("H2", 0, 10, 120)...)
		list := slices.Concat(
			minutes("H1", 50, 60, 130), // 50 are there, 10 are new
			[]ovendb.Reading{reading("H2", 3, 121), reading("H1", 0, 130), reading("H1", 99, 131)},
			minutes("H3", 0, 30, 99), // another sensor
		)
		want := []ovendb.Conflict{{Index: 60, Stored: measure.Celsius(120)}, {Index: 62, Stored: measure.Celsius(130)}}
		if diff := cmp.Diff(want, s.conflicts(list)); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
		if got := s.conflicts(nil); len(got) != 0 {
			t.Errorf("conflicts of nothing: %v", got)
		}
		s.name = "other"
		if got := s.conflicts(list); len(got) != 0 {
			t.Errorf("conflicts with another site: %v", got)
		}
	})
}

// Whatever the order and the pieces in which they come, and how often, the same
// readings are stored.
func TestOrderPiecesAndRepeatsDoNotMatter(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d, n := open(), 0
		sensors := []string{"H1", "H2", "T-17"}
		rapid.Check(t, func(rt *rapid.T) {
			n++
			want := map[string][]evidence.Reading{}
			var list []ovendb.Reading
			for _, sensor := range sensors {
				for _, m := range rapid.SliceOfNDistinct(rapid.IntRange(0, 5000), 0, 120, rapid.ID[int]).Draw(rt, sensor) {
					list = append(list, reading(sensor, m, int64(m%250)))
				}
			}
			for _, r := range list {
				want[r.Sensor] = append(want[r.Sensor], evidence.Reading{At: r.At, Temp: r.Temp})
			}
			for _, of := range want {
				slices.SortFunc(of, func(a, b evidence.Reading) int { return int(a.At - b.At) })
			}
			s := site{t.Context(), rt, d, fmt.Sprint("site ", n), 0}
			added := int64(0)
			for range 2 {
				shuffled := rapid.Permutation(list).Draw(rt, "order")
				for len(shuffled) > 0 {
					k := rapid.IntRange(1, len(shuffled)).Draw(rt, "piece")
					added += s.add(shuffled[:k]...)
					shuffled = shuffled[k:]
				}
			}
			if added != int64(len(list)) {
				rt.Errorf("%d added, want %d", added, len(list))
			}
			if diff := cmp.Diff(want, s.all(sensors...)); diff != "" {
				rt.Errorf("(-want +got):\n%s", diff)
			}
		})
	})
}

func TestOthersWroteTellsOfOthersAlone(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		here, there := open(), open()
		ask := func() (n int64) {
			err := here.Write(t.Context(), func(tx *sqlx.Tx) (err error) {
				n, err = ovendb.OthersWrote(t.Context(), tx)
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			return n
		}
		before := ask()
		site{t.Context(), t, here, "main", 0}.add(reading("H1", 0, 130))
		if got := ask(); got != before {
			t.Errorf("after a write of our own: %d, want still %d", got, before)
		}
		site{t.Context(), t, there, "main", 0}.add(reading("H1", 1, 130))
		if changed := ask() != before; changed != (here.Engine() == db.SQLite) {
			t.Errorf("after a write of another: changed %v on %s", changed, here.Engine())
		}
	})
}
