package ovendb_test

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// apply applies facts about places and sensors, one a minute after start.
func (s site) apply(entries ...inventory.Entry) {
	s.tb.Helper()
	due := func(d measure.Date) (measure.Instant, error) { return d.AddDays(-1).End(time.UTC), nil }
	err := s.db.Write(s.ctx, func(tx *sqlx.Tx) error {
		for i, e := range entries {
			f := ledger.Fact{Site: s.name, Kind: e.Kind(), At: start.Add(measure.Duration(i) * measure.Minute)}
			if err := ovendb.Apply(s.ctx, tx, f, e, due); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		s.tb.Fatal(err)
	}
}

func (s site) read(fn func(tx *sqlx.Tx) error) {
	s.tb.Helper()
	if err := s.db.Read(s.ctx, fn); err != nil {
		s.tb.Fatal(err)
	}
}

func newSite(t *testing.T, d *db.DB, name string) site {
	return site{ctx: t.Context(), tb: t, db: d, name: name}
}

// The evidence of a place is that of its sensors in the stretch asked for, less
// what each shows too much; a place without a sensor has none.
func TestEvidenceIsWhatTheSensorsOfThePlaceShowed(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newSite(t, open(), "yard")
		s.apply(&inventory.PlaceSet{Place: "H1", SortKind: "holding oven"}, &inventory.PlaceSet{Place: "H2", SortKind: "holding oven"},
			&inventory.SensorSet{Sensor: "T1", Place: "H1"}, &inventory.SensorSet{Sensor: "T2", Place: "H2"},
			&inventory.Calibrated{Sensor: "T1", Error: "2 C"})
		s.add(minutes("T1", 10, 5, 130)...)
		s.add(minutes("T2", 10, 5, 90)...)
		s.read(func(tx *sqlx.Tx) error {
			p, err := ovendb.Evidence(s.ctx, tx, s.name, "H1", start.Add(11*measure.Minute), start.Add(13*measure.Minute))
			if err != nil {
				return err
			}
			var want []evidence.Reading
			for _, r := range minutes("T1", 11, 3, 128) {
				want = append(want, evidence.Reading{At: r.At, Temp: r.Temp})
			}
			if diff := cmp.Diff(want, p.Readings(start, start.Add(measure.Day))); diff != "" {
				t.Errorf("readings of H1 (-want +got):\n%s", diff)
			}
			none, err := ovendb.Evidence(s.ctx, tx, s.name, "H3", start, start.Add(measure.Day))
			if none != nil {
				t.Errorf("a place without a sensor has evidence")
			}
			return err
		})
	})
}

// A sensor that is moved speaks for its new place, a check entered again
// replaces the one of that instant, and other sites are not touched.
func TestLaterFactReplacesTheEarlier(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		s, other := newSite(t, d, "yard"), newSite(t, d, "annex")
		for _, x := range []site{s, other} {
			x.apply(&inventory.PlaceSet{Place: "H1", SortKind: "holding oven"}, &inventory.SensorSet{Sensor: "T1", Place: "H1"},
				&inventory.Calibrated{Sensor: "T1", Error: "2 C"})
		}
		s.apply(&inventory.SensorSet{Sensor: "T1", Place: "H2"}, &inventory.PlaceSet{Place: "H1", SortKind: "quiver"},
			&inventory.Calibrated{Sensor: "T1", Error: "-1 C", Due: "2025-06-06"})
		for _, c := range []struct {
			site  site
			place string
			kind  inventory.PlaceKind
			found measure.Temperature
			due   measure.Instant
		}{
			{s, "H2", inventory.Quiver, -degree, start.Add(measure.Day)}, // from the beginning of the day it is due
			{other, "H1", inventory.HoldingOven, 2 * degree, 0},
		} {
			c.site.read(func(tx *sqlx.Tx) error {
				sensor, err := ovendb.FindSensor(s.ctx, tx, c.site.name, "T1")
				if err != nil || sensor.Place != c.place {
					t.Errorf("%s: sensor at %q, %v, want %s", c.site.name, sensor.Place, err, c.place)
				}
				places, err := ovendb.Places(s.ctx, tx, c.site.name)
				if err != nil || len(places) != 1 || places[0].Kind != c.kind {
					t.Errorf("%s: places %v, %v, want one %s", c.site.name, places, err, c.kind)
				}
				checks, err := ovendb.Calibrations(s.ctx, tx, c.site.name, "T1")
				if err != nil || len(checks) != 1 || checks[0].Error != c.found || checks[0].Due != c.due {
					t.Errorf("%s: checks %v, %v, want one of %v, due %v", c.site.name, checks, err, c.found, c.due)
				}
				_, err = ovendb.FindSensor(s.ctx, tx, c.site.name, "T9")
				if !errors.Is(err, db.ErrNotFound) {
					t.Errorf("a sensor that there is not: %v, want %v", err, db.ErrNotFound)
				}
				return nil
			})
		}
	})
}

// degree is a difference of one degree Celsius, in 1/900 of it.
const degree measure.Temperature = 900

// The digest of a day is over each reading as two big-endian 64-bit numbers: the
// instant in microseconds and the temperature in 1/900 of a degree Celsius.
func TestDigestIsOverTheReadingsOfTheDay(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newSite(t, open(), "yard")
		s.add(minutes("T1", -1, 4, 130)...)
		var text []byte
		for _, r := range minutes("T1", 0, 2, 130) {
			text = append(text, bytes64(int64(r.At))...)
			text = append(text, bytes64(int64(r.Temp))...)
		}
		sum := sha256.Sum256(text)
		s.read(func(tx *sqlx.Tx) error {
			n, got, err := ovendb.Digest(s.ctx, tx, s.name, "T1", start, start.Add(2*measure.Minute))
			if want := hex.EncodeToString(sum[:]); n != 2 || got != want {
				t.Errorf("Digest() = %d readings, %s, want 2 and %s", n, got, want)
			}
			return err
		})
	})
}

func bytes64(n int64) []byte {
	b := make([]byte, 8)
	for i := range b {
		b[i] = byte(n >> (56 - 8*i))
	}
	return b
}

// The newest reading by an instant counts that instant in.
func TestLatestReadingByAnInstant(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newSite(t, open(), "yard")
		s.add(minutes("T1", 10, 3, 130)...)
		for minute, want := range map[int]int{9: -1, 10: 10, 11: 11, 60: 12} {
			s.read(func(tx *sqlx.Tx) error {
				r, found, err := ovendb.Latest(s.ctx, tx, s.name, "T1", start.Add(measure.Duration(minute)*measure.Minute))
				if found != (want >= 0) || (found && r.At != start.Add(measure.Duration(want)*measure.Minute)) {
					t.Errorf("by minute %d: %v, %v, want minute %d", minute, r.At, found, want)
				}
				return err
			})
		}
	})
}
