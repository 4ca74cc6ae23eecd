package app_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/jmoiron/sqlx"
	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/exposure"
)

// The same facts come to the same bundles, slips and judgements in whatever
// order they are entered. What is refused because something before it is not
// known yet is entered again after the rest.
func TestOrderOfEntryDoesNotMatter(t *testing.T) {
	t.Parallel()
	d, n, taken := dbtest.Any(t), 0, 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		a := newWork(t, d, fmt.Sprintf("in-order-%d", n))
		a.facts = nil
		for range rapid.IntRange(5, 30).Draw(t, "acts") {
			a.pass(measure.Duration(rapid.IntRange(0, 40).Draw(t, "minutes"))*measure.Minute + 6*measure.Second)
			e := a.entry(t)
			a.tried(t, func(w *work) (app.Done, error) { return w.ask(e) })
		}
		b := &work{shop: newShop(t, d, fmt.Sprintf("shuffled-%d", n))}
		b.clock.Store(int64(a.now()))
		if !b.enter(t, rapid.Permutation(a.stockFacts()).Draw(t, "order")) {
			return
		}
		taken++
		b.sound()
		if diff := cmp.Diff(a.picture(), b.picture(), cmpopts.IgnoreFields(inventory.Slip{}, "By")); diff != "" {
			t.Fatalf("entered in another order it came to something else (-in order +shuffled):\n%s", diff)
		}
	})
	if taken < n*9/10 {
		t.Errorf("%d of %d histories were taken in another order: too few to show anything", taken, n)
	}
}

// stockFacts returns the facts about stock as they were entered.
func (w *work) stockFacts() (facts []ledger.Fact) {
	w.read(func(tx *sqlx.Tx) error {
		facts = nil
		return ledgerdb.Each(w.t.Context(), tx, w.Site, 0, func(f ledger.Fact) error {
			if !slices.Contains([]string{"site", "place", "sensor", "rules", "use-rules"}, f.Kind) {
				facts = append(facts, f)
			}
			return nil
		})
	})
	return facts
}

// enter enters facts with the times at which they happened, those that are
// refused again after the others. It reports whether all were taken.
func (w *work) enter(t *rapid.T, facts []ledger.Fact) bool {
	for len(facts) > 0 {
		var refused []ledger.Fact
		for _, f := range facts {
			w.pass(6 * measure.Second)
			entry := unjudged(t, f)
			done, err := w.ask(entry, at(f.At))
			if _, ok := asRefusal(err); ok {
				refused = append(refused, f)
			} else if err != nil {
				t.Fatalf("fact %d, %s %s: %v", f.Seq, f.Kind, f.Body, err)
			}
			if wholeBecamePart(entry, done.Entry) {
				return false
			}
		}
		if len(refused) == len(facts) {
			return false
		}
		facts = refused
	}
	return true
}

// wholeBecamePart reports a move of what was all of a bundle, as known in order,
// and is a part of it as known now: the same rods under another code.
func wholeBecamePart(asked, recorded inventory.Entry) bool {
	before, ok := asked.(*inventory.Moved)
	after, same := recorded.(*inventory.Moved)
	return ok && same && before.As == "" && after.As != ""
}

// unjudged is the entry of a fact without what the program judged.
func unjudged(t *rapid.T, f ledger.Fact) inventory.Entry {
	var body map[string]json.RawMessage
	if err := json.Unmarshal([]byte(f.Body), &body); err != nil {
		t.Fatal(err)
	}
	delete(body, "judged")
	text, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	e, err := inventory.DecodeEntry(f.Kind, string(text))
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// picture is what the site looks like at one instant.
type picture struct {
	Bundles []app.Look
	Slips   []inventory.Slip
	Losses  []stockdb.Loss
}

func (w *work) picture() (p picture) {
	w.read(func(tx *sqlx.Tx) error {
		p = picture{}
		for _, lot := range lots {
			slips, err := stockdb.LotSlips(w.t.Context(), tx, w.Site, lot)
			if err != nil {
				return err
			}
			losses, err := stockdb.Losses(w.t.Context(), tx, w.Site, lot)
			p.Slips, p.Losses = append(p.Slips, slips...), append(p.Losses, losses...)
			if err != nil {
				return err
			}
		}
		return nil
	})
	seen := w.bundles()
	slices.Sort(seen)
	for _, code := range slices.Compact(seen) {
		l, err := w.At(w.t.Context(), code, opens.Add(2*measure.Day), "")
		if err != nil {
			w.t.Fatal(err)
		}
		l.Judgement.Ruling = exposure.Judgement{}.Ruling
		p.Bundles = append(p.Bundles, l)
	}
	slices.SortFunc(p.Slips, func(a, b inventory.Slip) int { return strings.Compare(a.Code, b.Code) })
	slices.SortFunc(p.Losses, func(a, b stockdb.Loss) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	return p
}

// A late entry of each kind changes what comes after it as if it had been made
// in time.
func TestLateEntryIsDecidedAsThingsStoodThen(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 100)
		s.pass(2 * measure.Hour)
		s.do(issue("S1", "K1", 60))
		s.pass(measure.Hour)
		s.do(&inventory.Counted{Bundle: "K1", Pieces: 10})
		if got := s.bundle("K1").Pieces; got != 10 {
			t.Fatalf("%d in K1 after the count, want 10", got)
		}
		// 30 went out on a paper slip before the first issue; the count found that.
		s.do(issue("S2", "K1", 30), at(since(measure.Hour)))
		if got := s.bundle("K1").Pieces; got != 10 {
			t.Errorf("%d in K1 after the late issue, want the 10 that were counted", got)
		}
		if got := s.lost("LOT-K1"); got != 0 {
			t.Errorf("the count is %d short after the late issue, want nothing missing", got)
		}
		ref := s.refuse(inventory.ImpossibleOrder, issue("S3", "K1", 20), at(since(measure.Hour)))
		if ref.Value == "" || ref.Limit == "" {
			t.Errorf("refused with times %q and %q, want both", ref.Value, ref.Limit)
		}
		s.refuse(inventory.NotEnough, issue("S3", "K1", 71), at(since(measure.Hour)))
		s.sound()
	})
}

// lost is what counts found missing of a lot.
func (s *shop) lost(lot string) (n int64) {
	s.read(func(tx *sqlx.Tx) error {
		losses, err := stockdb.Losses(s.t.Context(), tx, s.Site, lot)
		n = 0
		for _, l := range losses {
			n += l.Pieces
		}
		return err
	})
	return n
}

// A lot that was held stays held when a release of an earlier time is entered
// after it.
func TestLateReleaseDoesNotEndALaterHold(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 100)
		s.pass(2 * measure.Hour)
		s.do(&inventory.HeldBack{Lot: "LOT-K1", Why: "certificate asked for"})
		s.pass(measure.Hour)
		s.do(&inventory.LotReleased{Lot: "LOT-K1"}, at(since(measure.Hour)))
		s.refuse(inventory.OnHold, issue("S1", "K1", 10))
		s.do(issue("S1", "K1", 10), at(since(90*measure.Minute))) // it went out before the hold
		s.sound()
	})
}
