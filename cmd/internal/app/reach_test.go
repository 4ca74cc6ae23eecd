package app_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// H1 shows 130 °C. Found to show 12 °C too much it was at 118 °C at worst, which
// is no hold at 120 °C: the rods that were held there are past four hours.
func TestCheckListsWhatComesOutDifferently(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "reach")
		s.do(&inventory.Calibrated{Sensor: "H1", Error: "0 C"})
		s.sealed("K1", 150)
		s.do(&inventory.Opened{Bundle: "K1", Into: "H1"})
		s.sealed("K2", 150) // never in H1
		s.do(&inventory.Opened{Bundle: "K2", Into: "H2"})
		s.pass(measure.Hour)
		s.do(&inventory.Issued{Slip: "S1", Bundle: "K1", Pieces: 40, Welder: "W3", Joints: []string{"J-1"}})
		s.pass(30 * measure.Minute)
		s.do(&inventory.Returned{Slip: "S1", Unused: 20, Stubs: 20, Into: "H1", As: "R1"})
		s.pass(4 * measure.Hour)
		s.do(&inventory.Issued{Slip: "S2", Bundle: "R1", Pieces: 10, Welder: "W3", Joints: []string{"J-2"}})
		s.do(&inventory.Issued{Slip: "S3", Bundle: "K2", Pieces: 10, Welder: "W3", Joints: []string{"J-3"}})
		s.pass(measure.Hour)

		check := &inventory.Calibrated{Sensor: "H1", AsFound: "12 C", Error: "0 C"}
		before, err := s.WouldAffect(t.Context(), check, 0)
		if err != nil {
			t.Fatal(err)
		}
		s.do(check)
		after, err := s.Affected(t.Context(), "H1", 0)
		if err != nil {
			t.Fatal(err)
		}
		want := []string{
			"issue K1 S1 [J-1] ready to out", // 1:00 in H1 that was none; still within its limit
			"return R1 S1 [J-1] hold to out", // H1 was no holding oven
			"issue R1 S2 [J-2] ready to bake",
			"in stock K1  [] ready to bake",
			"in stock R1  [] ready to bake",
			"out S2 S2 [J-2] out to bake",
		}
		if diff := cmp.Diff(want, said(before)); diff != "" {
			t.Errorf("before it is recorded (-want +got):\n%s", diff)
		}
		if diff := cmp.Diff(said(before), said(after)); diff != "" {
			t.Errorf("listed again later (-before +after):\n%s", diff)
		}
		if diff := cmp.Diff([]string{"J-1", "J-2"}, after.Joints()); diff != "" {
			t.Errorf("joints (-want +got):\n%s", diff)
		}
	})
}

func said(r app.Reach) []string {
	var all []string
	for _, c := range r.Changed {
		all = append(all, fmt.Sprintf("%s %s %s %v %s to %s", c.Act, c.Bundle, c.Slip, c.Joints, c.Was.Verdict, c.Is.Verdict))
	}
	return all
}

// A check that finds what was known changes nothing.
func TestCheckThatFindsNothingNewChangesNothing(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "unchanged")
		s.sealed("K1", 150)
		s.do(&inventory.Opened{Bundle: "K1", Into: "H1"})
		s.pass(2 * measure.Hour)
		done := s.do(&inventory.Calibrated{Sensor: "H1", AsFound: "9 C", Error: "0 C"}) // 121 °C is in range
		r, err := s.Affected(t.Context(), "H1", 0)
		if err != nil || len(r.Changed) != 0 || r.Compared != 1 {
			t.Errorf("%d of %d judgements differ, %v; want 0 of 1", len(r.Changed), r.Compared, err)
		}
		if len(done.Warnings) != 0 {
			t.Errorf("warnings %q, want none", done.Warnings)
		}
		s.pass(measure.Minute)
		silent := s.do(&inventory.Calibrated{Sensor: "H1", Error: "12 C"})
		if len(silent.Warnings) != 1 {
			t.Errorf("an error that nothing is said of before: warnings %q, want one", silent.Warnings)
		}
		s.refuse(inventory.Unknown, &inventory.Calibrated{Sensor: "T9", Error: "1 C"})
		s.refuse(inventory.Unit, &inventory.Calibrated{Sensor: "H1", AsFound: "12"})
	})
}
