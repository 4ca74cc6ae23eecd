package app_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/rounds"
)

// E7018 rods have four hours: three without heat leave a hold to be done, sixty
// a bake. Sealed rods take no harm.
func TestShutdownSaysWhatStartUpNeeds(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "shutdown")
		s.can("K1", 100)
		s.sealed("K2", 100)
		s.do(&inventory.Moved{Bundle: "K2", Into: "H1"})
		off := func(hours int) *inventory.ShutDown {
			return &inventory.ShutDown{Place: "H1", From: since(2 * measure.Hour).String(),
				To: since(measure.Duration(2+hours) * measure.Hour).String(), Why: "new element"}
		}
		done := s.do(off(3))
		if len(done.Warnings) != 1 || !strings.Contains(done.Warnings[0], "2 bundles in H1") {
			t.Errorf("warnings %q, want one that counts what is inside", done.Warnings)
		}
		want := []string{"K1 ready, then out: hold 4 h at 120 C or more before any go out", "K2 sealed, then sealed: nothing: it is sealed"}
		if diff := cmp.Diff(want, startUp(t, s)); diff != "" {
			t.Errorf("three hours (-want +got):\n%s", diff)
		}
		s.do(off(60)) // announced again: it takes the place of the first
		want[0] = "K1 ready, then bake: bake before use, or move it into a hot oven before the shutdown"
		if diff := cmp.Diff(want, startUp(t, s)); diff != "" {
			t.Errorf("sixty hours (-want +got):\n%s", diff)
		}
		s.refuse(inventory.ImpossibleOrder, off(-1))
		s.sound()
	})
}

func startUp(t *testing.T, s *shop) []string {
	t.Helper()
	list, err := s.Shutdowns(t.Context(), "", 0, since(100*measure.Hour))
	if err != nil || len(list) != 1 {
		t.Fatalf("%d shutdowns, %v, want one", len(list), err)
	}
	var all []string
	for _, l := range list[0].Inside {
		all = append(all, fmt.Sprintf("%s %s, then %s: %s", l.Bundle.Code, l.Judgement.Verdict, l.AtEnd.Verdict, l.Do))
	}
	return all
}

func TestAlarmsOfAShutdownAreCountedAndNotRaised(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "hushed") // H1 is read until three days after it opens
		s.can("K1", 100)
		s.do(&inventory.ShutDown{Place: "H1", From: since(70 * measure.Hour).String(), To: since(80 * measure.Hour).String(), Why: "weekend"})
		s.pass(79 * measure.Hour)
		found, err := s.Conditions(t.Context(), 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range found {
			if c.Subject == "H1" {
				t.Errorf("raised %s at %s during the shutdown", c.Kind, c.Since)
			}
		}
		list, err := s.Shutdowns(t.Context(), "H1", 0, s.now())
		if err != nil || len(list) != 1 || len(list[0].Hushed) != 1 {
			t.Fatalf("%+v, %v; want one shutdown with one alarm that was not raised", list, err)
		}
	})
}

func TestChecksOfOvensAreCounted(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "checks")
		if _, err := s.OvenChecks(t.Context(), "", 0, 0); err == nil || !strings.Contains(err.Error(), "does not say how often") {
			t.Errorf("without a rule: %v, want that it says nothing", err)
		}
		s.Sets = map[string]string{"oven.check_every": "8h"}
		s.pass(8 * measure.Hour)
		for range 2 { // the second scan is one with the first
			request := app.Request{By: attendant, ID: "01974000-0000-7000-8000-00000000c4ec"}
			if _, err := s.CheckOven(t.Context(), request, &inventory.OvenChecked{Place: "H1", Value: "131 C", Floor: 3}); err != nil {
				t.Fatal(err)
			}
		}
		s.pass(9 * measure.Hour)
		list, err := s.OvenChecks(t.Context(), "", 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, p := range list {
			got = append(got, fmt.Sprintf("%s %d %d %d", p.Place.Name, p.Count(rounds.Done), p.Count(rounds.Late), p.Count(rounds.Missed)))
		}
		if want := []string{"H1 1 0 1", "H2 0 0 2"}; !cmp.Equal(want, got) {
			t.Errorf("done, late, missed %v, want %v", got, want)
		}
		if n := len(list[0].Made); n != 1 || list[0].Made[0].Floor != 3 || list[0].Made[0].Temp != measure.Celsius(131) {
			t.Errorf("checks %+v, want the one with 3 rods from the floor", list[0].Made)
		}
		s.sound()
	})
}
