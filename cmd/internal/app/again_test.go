package app_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// late stores a reading of H1 that comes in now.
func (s *shop) late(at measure.Instant, celsius int64) {
	s.t.Helper()
	if _, err := s.AddReadings(s.t.Context(), []ovendb.Reading{{Sensor: "H1", At: at, Temp: measure.Celsius(celsius)}}); err != nil {
		s.t.Fatal(err)
	}
}

// approve approves a set that ships.
func (s *shop) approve(id string) {
	s.t.Helper()
	set, err := rules.Shipped(id)
	if err != nil {
		s.t.Fatal(err)
	}
	s.do(&inventory.RulesApproved{ID: id, Edition: set.Edition, Digest: set.Digest, Text: set.Text})
}

// verdict returns what is said of a bundle at an instant by a program that
// judges anew.
func (s *shop) verdict(g app.Again, code string, at measure.Instant) (v inventory.Verdict, exposed string) {
	s.t.Helper()
	err := s.JudgeAgain(s.t.Context(), g, func(then *app.App) error {
		l, err := then.At(s.t.Context(), code, at, "")
		v, exposed = l.Judgement.Verdict, l.Judgement.Most.String()
		return err
	})
	if err != nil {
		s.t.Fatalf("%s, %+v: %v", code, g, err)
	}
	return v, exposed
}

// A reading that comes in late changes what is known, not what was known: rods
// in an oven that was cold for 4:30 in truth were ready for all that was known.
// By the reference rules minutes below 120 °C are exposure, of which 4 h are
// allowed.
func TestLateReadingChangesWhatIsKnownOnly(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 150)
		s.pass(6 * measure.Hour)
		early := s.now()
		s.pass(measure.Hour)
		for i := range 10 {
			s.late(since(measure.Duration(i)*30*measure.Minute+15*measure.Minute), 60)
		}
		s.pass(measure.Minute)
		for name, c := range map[string]struct {
			known   measure.Instant
			verdict inventory.Verdict
		}{
			"known then": {early, inventory.Ready}, "known now": {0, inventory.Bake}, "known now, and said so": {s.now(), inventory.Bake},
		} {
			if got, exposed := s.verdict(app.Again{Known: c.known}, "K1", early); got != c.verdict {
				t.Errorf("%s: %s, exposed %s, want %s", name, got, exposed, c.verdict)
			}
		}
	})
}

// A fact that was entered late was not known before: neither what it says nor
// that the bundle is there.
func TestLateEntryWasNotKnown(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 150)
		s.pass(2 * measure.Hour)
		known := s.now()
		s.pass(measure.Minute)
		s.do(&inventory.Moved{Bundle: "K1", Into: "open air"}, at(since(measure.Hour)))
		if got, exposed := s.verdict(app.Again{Known: known}, "K1", known); got != inventory.Ready || exposed != "0:00" {
			t.Errorf("before it was entered: %s, exposed %s, want ready, 0:00", got, exposed)
		}
		if _, exposed := s.verdict(app.Again{}, "K1", known); exposed != "1:00" {
			t.Errorf("now: exposed %s, want 1:00", exposed)
		}
		s.do(received("LOT-K2", "K2", 10))
		err := s.JudgeAgain(t.Context(), app.Again{Known: known}, func(then *app.App) error {
			_, err := then.At(t.Context(), "K2", 0, "")
			return err
		})
		if ref, ok := asRefusal(err); !ok || ref.Code != inventory.Unknown {
			t.Errorf("a bundle that came later: %v, want a refusal with code unknown", err)
		}
	})
}

// Another set judges what another decided: of an hour in the open, two at
// temperature and one in the open the running clock counts all, the summed one
// two (reference rules), and the set for cored wire has no row for rods. A set
// that was not approved is refused, and nothing is recorded by a question.
func TestAnotherSetJudgesWithoutDeciding(t *testing.T) {
	t.Parallel()
	cored, err := rules.Shipped("seismic-cored-72h")
	if err != nil {
		t.Fatal(err)
	}
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 150)
		s.do(issue("S1", "K1", 40))
		s.pass(measure.Hour)
		s.do(&inventory.Returned{Slip: "S1", Unused: 40, Into: "H1", As: "R1"})
		s.pass(2 * measure.Hour)
		s.do(&inventory.Moved{Bundle: "R1", Into: "open air"})
		s.pass(measure.Hour + measure.Second)
		s.approve("reference-summed")
		before := s.state()
		said := map[string]string{}
		for _, id := range []string{"", "reference-running", "reference-summed", "seismic-cored-72h"} {
			g := app.Again{Rules: id}
			if id == "seismic-cored-72h" {
				g.Rules, g.Set = "", cored
			}
			v, exposed := s.verdict(g, "R1", s.now())
			said[id] = string(v) + " " + exposed
		}
		want := map[string]string{"": "bake 4:00:01", "reference-running": "bake 4:00:01", "reference-summed": "out 2:00:01", "seismic-cored-72h": "no-rule 0:00"}
		if diff := cmp.Diff(want, said); diff != "" {
			t.Errorf("verdicts (-want +got):\n%s", diff)
		}
		err := s.JudgeAgain(t.Context(), app.Again{Rules: "no-such-set"}, func(then *app.App) error {
			_, err := then.At(t.Context(), "R1", 0, "")
			return err
		})
		if ref, ok := asRefusal(err); !ok || ref.Code != inventory.RulesNotApproved || ref.Next == "" {
			t.Errorf("a set that was not approved: %v", err)
		}
		err = s.JudgeAgain(t.Context(), app.Again{Rules: "reference-summed"}, func(then *app.App) error {
			_, err := then.Record(t.Context(), app.Request{By: attendant, Entry: issue("S2", "R1", 5)})
			return err
		})
		if err == nil {
			t.Error("a question recorded an issue")
		}
		if diff := cmp.Diff(before, s.state()); diff != "" {
			t.Errorf("the database changed (-before +after):\n%s", diff)
		}
	})
}
