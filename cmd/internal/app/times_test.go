package app_test

import (
	"slices"
	"testing"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// What cannot have happened when it is said to have is refused with both times.
func TestImpossibleTimesAreRefused(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.pass(measure.Hour)
		s.can("K1", 50)
		s.pass(measure.Hour)
		s.do(issue("S1", "K1", 10))
		s.pass(measure.Hour)
		for _, c := range []struct {
			name  string
			entry inventory.Entry
			at    measure.Instant
			want  inventory.Code
			said  string // the time that was given
			known string // the time that it contradicts
		}{
			{"a second ahead of the clock", issue("S2", "K1", 1), s.now().Add(measure.Second), inventory.Future, "09:00:01", "09:00"},
			{"before the can came", issue("S2", "K1", 1), since(measure.Hour - measure.Second),
				inventory.ImpossibleOrder, "06:59:59", "07:00"},
			{"count before the can came", &inventory.Counted{Bundle: "K1", Pieces: 50}, since(0), inventory.ImpossibleOrder, "06:00", "07:00"},
			{"back before it went out", &inventory.Returned{Slip: "S1", Unused: 10, Into: "H1"},
				since(2*measure.Hour - measure.Second), inventory.ImpossibleOrder, "07:59:59", "08:00"},
		} {
			ref := s.refuse(c.want, c.entry, at(c.at))
			if ref.Value != "2025-06-05 "+c.said || ref.Limit != "2025-06-05 "+c.known {
				t.Errorf("%s: refused with times %q and %q, want %q and %q", c.name, ref.Value, ref.Limit, c.said, c.known)
			}
		}
	})
}

// Timeline S35: paper slips of an outage are typed in later. They count from
// when they happened, and say how late they were entered.
func TestLateEntriesSayHowLate(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 150)
		for _, c := range []struct{ slip, happened, entered, late, due string }{
			{"S1", "06:55", "09:20", "2 h 25 min", "10:55"},
			{"S2", "07:10", "09:22", "2 h 12 min", "11:10"},
			{"S3", "08:30", "09:25", "55 min", "12:30"},
			{"S4", "09:15", "09:30", "", "13:15"}, // 15 min: not late yet
		} {
			s.clock.Store(int64(s.time(c.entered)))
			done := s.do(issue(c.slip, "K1", 20), at(s.time(c.happened)))
			marked := slices.Contains(done.Warnings, "entered "+c.late+" after it happened: marked late")
			if marked != (c.late != "") {
				t.Errorf("%s: warnings %q, want it marked late by %q", c.slip, done.Warnings, c.late)
			}
			if f := done.Fact; f.At != s.time(c.happened) || f.Noted != s.time(c.entered) {
				t.Errorf("%s: happened %v, entered %v, want both as they were", c.slip, f.At, f.Noted)
			}
			if got := done.Entry.(*inventory.Issued).Judged.Due; got != s.time(c.due) {
				t.Errorf("%s: due %v, want %s", c.slip, got, c.due)
			}
		}
		s.sound()
	})
}

// time reads a time of the shop's day.
func (s *shop) time(clock string) measure.Instant {
	s.t.Helper()
	i, err := s.Instant(s.t.Context(), "2025-06-05 "+clock)
	if err != nil {
		s.t.Fatal(err)
	}
	return i
}

// In Halifax 01:30 came twice on 2025-11-02 (04:30 and 05:30 UTC, by the IANA
// zone), and 02:30 did not come on 2025-03-09.
func TestAmbiguousTimeIsAskedAbout(t *testing.T) {
	t.Parallel()
	s := newShop(t, dbtest.SQLite(t), "yard")
	for text, want := range map[string]string{
		"2025-11-02 01:30 ADT": "2025-11-02T04:30:00Z", "2025-11-02 01:30 AST": "2025-11-02T05:30:00Z",
		"2025-11-02 00:30": "2025-11-02T03:30:00Z", "2025-11-02 02:30": "2025-11-02T06:30:00Z",
	} {
		if got, err := s.Instant(t.Context(), text); err != nil || got.String() != want {
			t.Errorf("Instant(%q) = %v, %v, want %s", text, got, err, want)
		}
	}
	for text, want := range map[string]inventory.Code{
		"2025-11-02 01:30": inventory.AmbiguousTime, "2025-03-09 02:30": inventory.NoSuchTime,
		"yesterday": inventory.Unit, "2025-02-30 10:00": inventory.Unit,
	} {
		s.unchanged(want, func() error { _, err := s.Instant(t.Context(), text); return err })
	}
}

// A clock that was set back enters nothing before what was entered already, and
// takes no minute of exposure away.
func TestClockSetBackKeepsTheOrder(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 50)
		s.pass(3 * measure.Hour)
		out := s.do(issue("S1", "K1", 10)).Fact
		s.pass(-measure.Hour)
		back := s.do(&inventory.Returned{Slip: "S1", Unused: 10, Into: "H1", As: "R1"}).Fact
		if back.Noted < out.Noted || back.At < out.At {
			t.Errorf("back at %v, noted %v, after it went out at %v", back.At, back.Noted, out.At)
		}
		s.pass(3650 * measure.Day)
		s.do(&inventory.Scrapped{Bundle: "R1"})
		s.pass(-3650 * measure.Day)
		s.do(issue("S2", "K1", 1), at(since(4*measure.Hour)))
		s.sound()
	})
}

// Facts that are recorded in one go happened at one instant, whatever the clock
// does meanwhile.
func TestFactsRecordedTogetherHappenTogether(t *testing.T) {
	t.Parallel()
	s := newShop(t, dbtest.SQLite(t), "yard")
	now := s.Now
	s.Now = func() time.Time { s.pass(measure.Second); return now() }
	all, err := s.RecordAll(t.Context(), app.Request{By: attendant}, []inventory.Entry{received("7B21", "", 150), received("7B21", "", 150)})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := all[0].Fact.At, all[1].Fact.At; a != b {
		t.Errorf("one package came at %v, the other at %v", a, b)
	}
}
