package app_test

import (
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

const oneID = "01974000-0000-7000-8000-0000000fffff"

// A terminal that got no answer sends the same again: the first outcome comes
// back and nothing is written, however often and from wherever.
func TestSameIDIsOneFact(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 150)
		first := s.do(issue("", "K1", 40), withID(oneID))
		after := s.state()
		for range 3 {
			s.pass(measure.Hour)
			again := s.do(issue("", "K1", 40), withID(oneID))
			if !again.Repeat {
				t.Errorf("the same id again is not told to be a repeat")
			}
			if diff := cmp.Diff(first.Fact, again.Fact); diff != "" {
				t.Errorf("another outcome for the same id (-first +again):\n%s", diff)
			}
			if diff := cmp.Diff(first.Entry, again.Entry); diff != "" {
				t.Errorf("another entry for the same id (-first +again):\n%s", diff)
			}
		}
		s.wantState(after)
		s.refuse(inventory.Duplicate, &inventory.WentWet{Bundle: "K1"}, withID(oneID))
		s.sound()
	})
}

func TestSameIDAtOnceIsOneFact(t *testing.T) {
	t.Parallel()
	const senders = 6
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 150)
		before := s.sound().Head.Seq
		var wg sync.WaitGroup
		got := make([]app.Done, senders)
		errs := make([]error, senders)
		for i := range senders {
			other := s.through("window", open())
			wg.Go(func() { got[i], errs[i] = other.ask(issue("", "K1", 40), withID(oneID)) })
		}
		wg.Wait()
		fresh := 0
		for i := range senders {
			if errs[i] != nil {
				t.Fatal(errs[i])
			}
			if !got[i].Repeat {
				fresh++
			}
			if got[i].Fact != got[0].Fact {
				t.Errorf("two outcomes for one id: %+v and %+v", got[i].Fact, got[0].Fact)
			}
		}
		if fresh != 1 {
			t.Errorf("%d of %d senders were told that theirs was the first, want 1", fresh, senders)
		}
		if n := s.sound().Head.Seq - before; n != 1 {
			t.Errorf("%d facts, want 1", n)
		}
		if left := s.bundle("K1").Pieces; left != 110 {
			t.Errorf("%d left in K1, want 110", left)
		}
	})
}

// Facts recorded together are repeated together.
func TestSameDeliveryIsReceivedOnce(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		cans := []inventory.Entry{received("7B21", "", 150), received("7B21", "", 150), received("7B21", "", 150)}
		r := app.Request{ID: oneID, By: attendant}
		first, err := s.RecordAll(t.Context(), r, cans)
		if err != nil {
			t.Fatal(err)
		}
		after := s.state()
		for name, r := range map[string]app.Request{"the same id": r, "a second scan": {By: attendant}} {
			again, err := s.RecordAll(t.Context(), r, cans)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			for i := range again {
				if !again[i].Repeat || again[i].Fact != first[i].Fact {
					t.Errorf("%s: can %d came back as %+v, want %+v", name, i, again[i].Fact, first[i].Fact)
				}
			}
		}
		s.wantState(after)
		s.unchanged(inventory.Duplicate, func() error { // the first three are recorded, a fourth is not
			_, err := s.RecordAll(t.Context(), r, append(cans, received("7B21", "", 150)))
			return err
		})
		s.pass(6 * measure.Second)
		if more, err := s.RecordAll(t.Context(), app.Request{By: attendant}, cans); err != nil || more[0].Repeat {
			t.Errorf("three more cans later: %+v, %v; want them received", more, err)
		}
		s.sound()
	})
}

// A scanner bounces within seconds, at one terminal, in one person's hand.
// A hold between two scans stands: the second is not answered with what went out
// before it. A hold of another lot changes nothing.
func TestScanAfterAHoldIsRefused(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "held")
		s.can("K1", 150)
		s.pass(measure.Minute)
		s.do(issue("", "K1", 10))
		s.do(&inventory.Received{Lot: "9X99", Class: "E7018", Diameter: "1/8 in", Package: "hermetic can", Pieces: 10})
		s.do(&inventory.HeldBack{Lot: "9X99", Why: "label"})
		if done := s.do(issue("", "K1", 10)); !done.Repeat {
			t.Error("a hold of another lot makes a second issue of a bounce")
		}
		b, err := s.LotOf(t.Context(), "K1")
		if err != nil {
			t.Fatal(err)
		}
		s.do(&inventory.HeldBack{Lot: b.Code, Why: "certificate does not match"})
		s.refusedAs(inventory.OnHold, issue("", "K1", 10))
	})
}

func TestSecondScan(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name  string
		first inventory.Entry
		again inventory.Entry // nil: the same
		after measure.Duration
		by    string
		via   string
		want  int64 // facts
	}{
		{name: "at once", first: issue("", "K1", 10), want: 1},
		{name: "within 5 s", first: issue("", "K1", 10), after: 5 * measure.Second, want: 1},
		{name: "after 6 s", first: issue("", "K1", 10), after: 6 * measure.Second, want: 2},
		{name: "by another person", first: issue("", "K1", 10), by: "A2", want: 2},
		{name: "at another terminal", first: issue("", "K1", 10), via: "window-2", want: 2},
		{name: "another number of rods", first: issue("", "K1", 10), again: issue("", "K1", 11), want: 2},
		{name: "two slips by name", first: issue("S1", "K1", 10), again: issue("S2", "K1", 10), want: 2},
		{name: "move of all", first: &inventory.Moved{Bundle: "K1", Into: "H2"}, want: 1},
		{name: "some, then all of it", first: &inventory.Scrapped{Bundle: "K1", Pieces: 3}, again: &inventory.Scrapped{Bundle: "K1"}, want: 2},
		{name: "scrap of all", first: &inventory.Scrapped{Bundle: "K1", Why: "rain"}, want: 1},
		{name: "by class and size", first: &inventory.Issued{Class: "E7018", Diameter: "1/8 in", Pieces: 10, Welder: "W3"}, want: 1},
	}
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		for _, c := range cases {
			t.Run(c.name, func(t *testing.T) {
				s := newShop(t, d, c.name)
				s.can("K1", 150)
				s.pass(measure.Minute)
				before := s.sound().Head.Seq
				s.do(c.first)
				s.pass(c.after)
				again, who, via := c.first, attendant, s.Via
				if c.again != nil {
					again = c.again
				}
				if c.by != "" {
					who = c.by
				}
				if c.via != "" {
					via = c.via
				}
				done := s.through(via, s.DB).do(again, by(who))
				if done.Repeat != (c.want == 1) {
					t.Errorf("told to be a repeat: %v, want %v", done.Repeat, c.want == 1)
				}
				if n := s.sound().Head.Seq - before; n != c.want {
					t.Errorf("%d facts, want %d", n, c.want)
				}
			})
		}
	})
}
