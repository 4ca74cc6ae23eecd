package app_test

import (
	"fmt"
	"sync"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// Four windows hand single rods out of one bundle as fast as they can: no rod
// goes out twice, and none is kept back.
func TestIssueNeverOversells(t *testing.T) {
	t.Parallel()
	const windows, each, pieces = 4, 100, 300
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", pieces)
		before := s.sound().Head.Seq
		outcomes := make(chan error, windows*each)
		var wg sync.WaitGroup
		for w := range windows {
			other := s.through(fmt.Sprintf("window-%d", w+1), open())
			wg.Go(func() {
				for n := range each {
					_, err := other.ask(issue(fmt.Sprintf("W%d-%d", w, n), "K1", 1))
					outcomes <- err
				}
			})
		}
		wg.Wait()
		close(outcomes)
		recorded, refused := 0, 0
		for err := range outcomes {
			ref, isRefusal := asRefusal(err)
			switch {
			case err == nil:
				recorded++
			case isRefusal && ref.Code == inventory.NotEnough:
				refused++
			default:
				t.Errorf("an issue ended with %v", err)
			}
		}
		if recorded != pieces || refused != windows*each-pieces {
			t.Errorf("%d recorded and %d refused, want %d and %d", recorded, refused, pieces, windows*each-pieces)
		}
		if got := s.bundle("K1").Pieces; got != 0 {
			t.Errorf("%d left in K1, want 0", got)
		}
		if head := s.sound().Head; head.Seq != before+pieces { // a gap in the numbers is an error of Verify
			t.Errorf("%d facts were added, want %d", head.Seq-before, pieces)
		}
	})
}

// Timeline S34: of 50 rods attendant A takes 40, B asks for 20 two seconds later
// and is told what is left.
func TestTwoAttendantsOneCan(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 50)
		b := s.through("window-2", open())
		s.do(issue("S1", "K1", 40), by("A"))
		s.pass(2 * 1_000_000)
		ref := b.refuse(inventory.NotEnough, issue("S2", "K1", 20), by("B"))
		if ref.Why != "10 left in K1, 20 asked for" {
			t.Errorf("refused because %q, want what is left and what was asked for", ref.Why)
		}
		if got := b.bundle("K1").Pieces; got != 10 {
			t.Errorf("%d left in K1, want 10", got)
		}
	})
}

// A dry run answers as the act would, and leaves nothing behind.
func TestDryRunWritesNothing(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 50)
		before := s.state()
		dry := func(r *app.Request) { r.DryRun = true }
		done := s.do(issue("", "K1", 40), dry)
		if got := done.Entry.(*inventory.Issued); got.Slip == "" || got.Judged.Due == 0 {
			t.Errorf("a dry run gave slip %q due %v, want what the act would give", got.Slip, got.Judged.Due)
		}
		s.wantState(before)
	})
}
