package app_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/register"
)

const (
	receivedOnPaper = "time,lot,class,diameter,package,pieces,packages,bundle\n" +
		"2025-06-05 06:05,7B21,E7018,1/8 in,hermetic can,150,,K1\n" +
		"2025-06-05 06:05,7B21,E7018,1/8 in,hermetic can,150,2,\n"

	// Sorted by welder, not by time: the third row happened first. Line 4 has more
	// rods than were ever there, line 5 a return before it went out.
	issuedOnPaper = "time,bundle,lot,welder,pieces,joints,back_time,unused,stubs,damaged,into\n" +
		"2025-06-05 09:00,,7B21,W1,20,J-2,,,,,\n" +
		"2025-06-05 07:00,K1,,W3,40,J-1,10:45,18,20,1,H1\n" +
		"2025-06-05 08:00,K1,,W4,900,J-3,,,,,\n" +
		"2025-06-05 10:00,K1,,W5,10,J-4,10:30,11,,,H1\n"
)

// importFrom imports a register of the shop.
func (s *shop) importFrom(k register.Kind, text string, dry bool) app.Imported {
	s.t.Helper()
	out, err := s.Import(s.t.Context(), strings.NewReader(text), k, register.Mapping{},
		app.ImportOptions{Name: "register.csv", By: "A1", DryRun: dry})
	if err != nil {
		s.t.Fatal(err)
	}
	return out
}

// The expected counts are added up by hand: 450 rods came in. W1 has 20 out, W3
// took 40 and brought 18 back with a damaged one, so 21 were used; W5 took 10
// and brought back 11, which cannot be, so they stay out.
func TestImportRecordsWhatCanHaveHappenedAndListsTheRest(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "paper")
		s.pass(12 * measure.Hour)
		if in := s.importFrom(register.Receiving, receivedOnPaper, false); in.Recorded != 2 || in.Facts != 3 {
			t.Fatalf("receipts %+v, want 2 rows and 3 packages", in)
		}
		got := s.importFrom(register.Issue, issuedOnPaper, false)
		if got.Rows != 4 || got.Recorded != 2 || got.Refused != 2 || got.InPart != 1 {
			t.Errorf("rows %d, recorded %d, refused %d, in part %d, want 4, 2, 2 and 1", got.Rows, got.Recorded, got.Refused, got.InPart)
		}
		var where []string
		for _, p := range got.Problems {
			where = append(where, fmt.Sprintf("%d %s", p.Line, p.Why))
		}
		want := []string{
			"4 K1: 110 left in K1, 900 asked for (not-enough)",
			"5 S0003-N: 11 pieces back of 10 issued (balance)",
		}
		if diff := cmp.Diff(want, where); diff != "" {
			t.Errorf("problems (-want +got):\n%s", diff)
		}
		balance := app.LotBalance{Lot: "7B21", Counted: true, Received: app.Amount{Pieces: 450}, InStock: app.Amount{Pieces: 398},
			Out: app.Amount{Pieces: 30}, Used: app.Amount{Pieces: 21}, Scrapped: app.Amount{Pieces: 1}}
		if diff := cmp.Diff([]app.LotBalance{balance}, got.Lots); diff != "" || got.Lots[0].Open() != (app.Amount{}) {
			t.Errorf("balance, open %v (-want +got):\n%s", got.Lots[0].Open(), diff)
		}
		s.verified()
	})
}

// verified holds the stored projections against those that the facts give.
func (s *shop) verified() {
	s.t.Helper()
	v, err := s.Verify(s.t.Context())
	if err != nil || len(v.Differences) > 0 {
		s.t.Errorf("verify: %v, differences %q", err, v.Differences)
	}
}

func TestImportedAgainWritesNothing(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "paper")
		s.pass(12 * measure.Hour)
		first := s.importFrom(register.Receiving, receivedOnPaper, false)
		before := s.importFrom(register.Issue, issuedOnPaper, false)
		again := s.importFrom(register.Issue, issuedOnPaper, false)
		if again.Facts != 0 || again.Repeated != 2 || again.Recorded != 0 || again.Refused != before.Refused {
			t.Errorf("again %+v, want 2 rows known and none recorded", again)
		}
		if diff := cmp.Diff(before.Lots, again.Lots); diff != "" {
			t.Errorf("the books changed (-before +again):\n%s", diff)
		}
		// The same register with its bad rows mended: only those are new.
		mended := strings.NewReplacer("900", "9", "10:30,11", "10:30,1").Replace(issuedOnPaper)
		if got := s.importFrom(register.Issue, mended, false); got.Recorded != 2 || got.Repeated != 2 || got.Refused != 0 || got.Facts != 2 {
			t.Errorf("mended: recorded %d, repeated %d, refused %d, facts %d, want 2, 2, 0 and 2: the issue of line 5 was recorded",
				got.Recorded, got.Repeated, got.Refused, got.Facts)
		}
		if first.Facts != 3 {
			t.Errorf("two packages alike and a marked one are %d facts, want 3", first.Facts)
		}
	})
}

// A dry run says what the real one does, and writes nothing.
func TestDryImportSaysWhatTheRealOneDoes(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "paper")
		s.pass(12 * measure.Hour)
		s.importFrom(register.Receiving, receivedOnPaper, false)
		head := s.facts()
		dry := s.importFrom(register.Issue, issuedOnPaper, true)
		if n := s.facts(); n != head {
			t.Fatalf("%d facts behind the dry run, %d before it", n, head)
		}
		if diff := cmp.Diff(dry, s.importFrom(register.Issue, issuedOnPaper, false)); diff != "" {
			t.Errorf("the real run differs (-dry +real):\n%s", diff)
		}
	})
}

// facts is the number of facts of the site, a few hundred at most.
func (s *shop) facts() int {
	s.t.Helper()
	const more = 1000
	all, err := s.Facts(s.t.Context(), more)
	if err != nil {
		s.t.Fatal(err)
	}
	return len(all)
}

// A register that was imported up to any row goes on from there: what the first
// rows and then all rows make is what all rows make at once.
func TestStoppedImportGoesOn(t *testing.T) {
	t.Parallel()
	rows := strings.SplitAfter(strings.TrimSuffix(issuedOnPaper, "\n"), "\n")
	for cut := 1; cut <= len(rows); cut++ {
		s := newShop(t, dbtest.SQLite(t), "paper")
		s.pass(12 * measure.Hour)
		s.importFrom(register.Receiving, receivedOnPaper, false)
		s.importFrom(register.Issue, strings.Join(rows[:cut], ""), false)
		got := s.importFrom(register.Issue, issuedOnPaper, false)
		if l := got.Lots[0]; l.InStock.Pieces != 398 || l.Out.Pieces != 30 || l.Used.Pieces != 21 || got.Refused != 2 {
			t.Errorf("stopped behind %d rows: %+v, %d refused, want 398 in stock, 30 out, 21 used and 2", cut, l, got.Refused)
		}
	}
}

// Whatever the order of the rows, they are recorded in the order in which they
// happened, and every rod is accounted for once.
func TestImportDoesNotDependOnTheOrderOfRows(t *testing.T) {
	t.Parallel()
	d := dbtest.SQLite(t)
	var n int
	rapid.Check(t, func(rt *rapid.T) {
		n++
		s := newShop(&within{rt, t}, d, fmt.Sprintf("paper-%d", n))
		s.pass(12 * measure.Hour)
		s.importFrom(register.Receiving, receivedOnPaper, false)
		rows := []string{}
		out := int64(0)
		for i := range rapid.IntRange(1, 6).Draw(rt, "rows") {
			pieces := rapid.IntRange(1, 60).Draw(rt, "pieces")
			unused := rapid.IntRange(0, pieces).Draw(rt, "unused")
			out += int64(pieces - unused)
			rows = append(rows, fmt.Sprintf("2025-06-05 %02d:00,,7B21,W%d,%d,,%02d:30,%d,,,H1\n", 7+i, i, pieces, 7+i, unused))
		}
		rows = rapid.Permutation(rows).Draw(rt, "order")
		head, _, _ := strings.Cut(issuedOnPaper, "\n")
		got := s.importFrom(register.Issue, head+"\n"+strings.Join(rows, ""), false)
		if len(got.Lots) != 1 {
			rt.Fatalf("%d lots, want one: %v", len(got.Lots), got.Problems)
		}
		l := got.Lots[0]
		if got.Recorded != len(rows) || l.Used.Pieces != out || l.InStock.Pieces != 450-out || l.Open() != (app.Amount{}) {
			rt.Errorf("recorded %d of %d, %+v, want %d used; %v", got.Recorded, len(rows), l, out, got.Problems)
		}
	})
}

// within lets a property use helpers that ask for a context.
type within struct {
	*rapid.T
	outer *testing.T
}

// A rule cannot undo what has happened: rods of a lot that nobody had released
// went out, and the register says so.
func TestPaperIsRecordedAgainstTheRulesWithAWarning(t *testing.T) {
	t.Parallel()
	s := newShop(t, dbtest.SQLite(t), "paper")
	s.pass(12 * measure.Hour)
	s.importFrom(register.Receiving, receivedOnPaper, false)
	got := s.importFrom(register.Issue, "time,bundle,welder,pieces,by\n2025-06-05 07:00,K1,W3,40,A9\n", false)
	said := slices.ContainsFunc(got.Warnings, func(w app.RowWarning) bool {
		return w.Line == 2 && strings.Contains(w.Text, "QA has not released lot 7B21")
	})
	if got.Recorded != 1 || !said {
		t.Errorf("recorded %d, warnings %v, want one row with a word on the release", got.Recorded, got.Warnings)
	}
	if r, err := s.Redecide(t.Context()); err != nil || r.Decisions != 1 || len(r.Different) > 0 {
		t.Errorf("decided again: %+v, %v, want one decision that comes to the same", r, err)
	}
	last, err := s.Facts(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	e, err := inventory.DecodeEntry(last[0].Kind, last[0].Body)
	if err != nil {
		t.Fatal(err)
	}
	out := e.(*inventory.Issued)
	flagged := slices.ContainsFunc(out.Flags, func(f inventory.Flag) bool { return f.Code == inventory.NotReleased })
	if !flagged || out.Actor != "A9" || last[0].By != "A1" {
		t.Errorf("flags %v, done by %q, entered by %q, want not-released, A9 and A1", out.Flags, out.Actor, last[0].By)
	}
}

// C45: existing stock comes in held; QA releases it with its label, certificate
// and package, and without them it does not go out. C59: stock without a lot is
// practice stock, goes to no joint, and is never released. C10: and never moves
// beside controlled stock, nor becomes it.
func TestFirstStockTakeHoldsWhatItFinds(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "paper")
		s.pass(measure.Hour)
		got := s.importFrom(register.Stock, "time,lot,class,diameter,package,seal,pieces,bundle,do,price,certificate\n"+
			"2025-06-05 06:30,7B21,E7018,1/8 in,hermetic can,intact,150,K1,,0.50 CAD,C-1\n"+
			"2025-06-05 06:30,7B21,E7018,1/8 in,hermetic can,broken,50,K2,scrap,0.6668 CAD,C-1\n"+
			"2025-06-05 06:30,,E7018,1/8 in,loose,,40,P1,,,\n"+
			"2025-06-05 06:30,,E7O18,1/8 in,loose,,40,P2,,,\n", false)
		if got.Recorded != 3 || got.Refused != 1 || got.Problems[0].Line != 5 {
			t.Fatalf("%+v, want 3 rows and line 5 refused: nobody can read its class", got)
		}
		s.refusedAs(inventory.OnHold, &inventory.Issued{Bundle: "K1", Pieces: 10, Welder: "W3"})
		s.refusedAs(inventory.CertificateCode, &inventory.LotReleased{Lot: "7B21", Label: "clean"})
		s.refusedAs(inventory.NotReleased, &inventory.LotReleased{Lot: "practice E7018 1/8 in", Label: "none", Certificate: "none", Package: "none"})
		s.refusedAs(inventory.NotReleased, &inventory.Issued{Bundle: "P1", Pieces: 10, Welder: "W3", Joints: []string{"J-1"}})
		s.refusedAs(inventory.CoStorage, &inventory.Moved{Bundle: "P1", Into: "H1"})
		s.refusedAs(inventory.Duplicate, &inventory.Received{Lot: "practice E7018 1/8 in", Class: "E7018", Diameter: "1/8 in", Package: "carton", Pieces: 1})
		s.do(&inventory.Issued{Bundle: "P1", Pieces: 10, Welder: "W3"})
		held, err := s.HeldLots(t.Context())
		if err != nil || len(held) != 2 || held[0].Left.Pieces != 150 || fmt.Sprint(held[0].Value) != "[75.00 CAD]" ||
			fmt.Sprint(held[0].Lost) != "[33.34 CAD]" {
			t.Errorf("held %+v, %v, want 150 rods of 7B21 worth 75 CAD, 33.34 CAD written off", held, err)
		}
		s.do(&inventory.LotReleased{Lot: "7B21", Label: "clean", Package: "sealed"})
		s.do(&inventory.Issued{Bundle: "K1", Pieces: 10, Welder: "W3", Joints: []string{"J-1"}})
		s.refusedAs(inventory.Duplicate, &inventory.Received{Lot: "7B21", Class: "E7018", Diameter: "1/8 in", Package: "carton", Pieces: 1, Existing: true})
		s.verified()
	})
}

// refusedAs asks for a fact that must be refused with a code and a next step.
func (s *shop) refusedAs(code inventory.Code, e inventory.Entry) {
	s.t.Helper()
	_, err := s.Record(s.t.Context(), app.Request{ID: s.nextID(), By: "A1", Entry: e})
	ref, ok := errors.AsType[*inventory.Refusal](err)
	if !ok || ref.Code != code || ref.Next == "" {
		s.t.Errorf("%s: %v, want a refusal %s with a next step", e.Kind(), err, code)
	}
}
