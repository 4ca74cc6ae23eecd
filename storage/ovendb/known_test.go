package ovendb_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// known returns the instants, in minutes after start, of what was known of T1.
func (s site) known(by measure.Instant) (minutes []int) {
	s.tb.Helper()
	s.read(func(tx *sqlx.Tx) error {
		list, err := ovendb.KnownReadings(s.ctx, tx, s.name, "T1", 0, start.Add(measure.Day), by)
		for _, r := range list {
			minutes = append(minutes, int(r.At.Sub(start)/measure.Minute))
		}
		return err
	})
	return minutes
}

// A reading is known from when it came in, not from when it was made: one, many
// at once, and those of a file that was loaded again. Expected values are the
// minutes that the test wrote down.
func TestReadingIsKnownFromItsArrival(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		for _, many := range []int{1, 25, 120} { // singly, in statements, by COPY
			s := newSite(t, open(), fmt.Sprintf("yard %d", many))
			s.noted = start.Add(5 * measure.Minute)
			s.add(reading("T1", 4, 130))
			var late []ovendb.Reading
			want := []int{}
			for i := range many {
				late = append(late, reading("T1", 4+i, 99)) // the first is there already
				want = append(want, 4+i)
			}
			s.noted = start.Add(20 * measure.Hour)
			s.add(late...)
			for by, want := range map[measure.Duration][]int{
				4 * measure.Minute: nil, 5 * measure.Minute: {4}, 20*measure.Hour - 1: {4}, 20 * measure.Hour: want,
			} {
				if diff := cmp.Diff(want, s.known(start.Add(by))); diff != "" {
					t.Errorf("%d late, known %s after the start (-want +got):\n%s", many, by, diff)
				}
			}
			if diff := cmp.Diff(want, s.known(0)); diff != "" {
				t.Errorf("%d late, all (-want +got):\n%s", many, diff)
			}
		}
	})
}

// What was stored before arrivals were kept counts as known from when it was
// made; what was made later than the instant asked about never does.
func TestReadingWithoutAnArrivalIsKnownWhenItWasMade(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newSite(t, open(), "yard")
		err := s.db.Write(t.Context(), func(tx *sqlx.Tx) error {
			_, err := tx.ExecContext(t.Context(), `INSERT INTO reading (site, sensor, at_us, temp_k) VALUES ($1, 'T1', $2, 117000)`,
				s.name, start.Add(7*measure.Minute))
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		s.noted = start
		s.add(reading("T1", 9, 130)) // entered ahead
		for by, want := range map[measure.Duration][]int{
			7*measure.Minute - 1: nil, 7 * measure.Minute: {7}, 9 * measure.Minute: {7, 9},
		} {
			if diff := cmp.Diff(want, s.known(start.Add(by))); diff != "" {
				t.Errorf("known %s after the start (-want +got):\n%s", by, diff)
			}
		}
	})
}

// The evidence of a place may be asked for as it was known.
func TestEvidenceAsItWasKnown(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newSite(t, open(), "yard")
		s.apply(&inventory.PlaceSet{Place: "H1", SortKind: "holding oven"}, &inventory.SensorSet{Sensor: "T1", Place: "H1"})
		s.noted = start.Add(measure.Minute)
		s.add(reading("T1", 0, 130))
		s.noted = start.Add(measure.Hour)
		s.add(reading("T1", 10, 90))
		s.read(func(tx *sqlx.Tx) error {
			for known, want := range map[measure.Instant]int{start.Add(59 * measure.Minute): 1, start.Add(measure.Hour): 2, 0: 2} {
				p, err := ovendb.EvidenceAs(s.ctx, tx, s.name, "H1", start, start.Add(measure.Hour), ovendb.Asked{Known: known})
				if err != nil {
					return err
				}
				if got := count(p); got != want {
					t.Errorf("known at %d: %d readings, want %d", known, got, want)
				}
			}
			return nil
		})
	})
}

func count(p *evidence.Place) int { return len(p.Readings(start, start.Add(measure.Day))) }
