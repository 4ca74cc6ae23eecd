package app_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/evidence"
)

// stretch is a stretch of an oven's history in words.
type stretch struct {
	From, To string
	Was      string // the finding, or the reason why there is none
	Low      string
	High     string
	Inside   []string
}

func (c *crib) history(place, from, to string) (app.OvenHistory, []stretch) {
	c.t.Helper()
	var begin measure.Instant
	if from != "" {
		begin = c.at(from)
	}
	h, err := c.app.OvenHistory(c.t.Context(), place, begin, c.at(to))
	if err != nil {
		c.t.Fatal(err)
	}
	var list []stretch
	for _, s := range h.Stretches {
		noon := c.at("12:00")
		one := stretch{From: s.From.Clock(c.zone, noon), To: s.To.Clock(c.zone, noon), Was: s.Finding.String()}
		if s.Reason != "" {
			one.Was = string(s.Reason)
		}
		if s.Read {
			one.Low, one.High = s.Low.String(), s.High.String()
		}
		for _, o := range s.Inside {
			one.Inside = append(one.Inside, o.Bundle+" "+o.Lot+" "+o.Class)
		}
		list = append(list, one)
	}
	return h, list
}

// The expected stretches follow from what the rules of evidence say: the lower
// of two readings applies, readings more than an hour apart prove nothing, and
// the reference rules ask for 120 °C.
func TestOvenHistorySaysWhenItWasOutOfRangeAndWhatWasInside(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.record("05:00", &inventory.Received{Lot: "7B22", Class: "E7018", Diameter: "1/8 in", Package: "hermetic can",
			Bundle: "K9", Pieces: 100, Into: "H1"}) // stays sealed
		c.read("06:00", "09:00", "130 C")
		c.record("08:00", &inventory.Opened{Bundle: "K1", Into: "H1"})
		c.read("09:30", "10:00", "118 C")
		c.read("10:30", "12:00", "130 C")
		c.record("11:30", &inventory.Moved{Bundle: "K1", Into: "H1", Pieces: 40, As: "R1"})
		c.read("14:00", "15:00", "131 C") // two hours after the last
		c.record("14:30", &inventory.Moved{Bundle: "K1", Into: "bench"})
		inside := []string{"K1 7B21 E7018"}
		both := []string{"K1 7B21 E7018", "R1 7B21 E7018"}
		h, got := c.history("H1", "", "17:00")
		want := []stretch{
			{"06:00", "09:00", "in range", "130 °C", "130 °C", nil},
			{"09:00", "10:30", "too cold", "118 °C", "130 °C", inside},
			{"10:30", "12:00", "in range", "130 °C", "130 °C", nil},
			{"12:00", "14:00", "readings too far apart", "", "", both},
			{"14:00", "15:00", "in range", "131 °C", "131 °C", nil},
			{"15:00", "17:00", "no reading since", "", "", []string{"R1 7B21 E7018"}},
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
		if h.Asked.Name() != "reference-running/hold" || h.Asked.String() != "at least 120 C" || h.Gap != measure.Hour {
			t.Errorf("asked %s by %s with gaps of %v, want at least 120 C by reference-running/hold, 1 h",
				h.Asked, h.Asked.Name(), h.Gap)
		}
		totals := map[evidence.Finding]app.Total{
			evidence.InRange: {Times: 3, All: 330 * measure.Minute, Longest: 3 * measure.Hour,
				Low: measure.Celsius(130), High: measure.Celsius(131), Read: true},
			evidence.TooCold: {Times: 1, All: 90 * measure.Minute, Longest: 90 * measure.Minute,
				Low: measure.Celsius(118), High: measure.Celsius(130), Read: true},
			evidence.TooHot:   {},
			evidence.Unproven: {Times: 2, All: 4 * measure.Hour, Longest: 2 * measure.Hour},
		}
		for f, want := range totals {
			if diff := cmp.Diff(want, h.Total(f)); diff != "" {
				t.Errorf("total %s (-want +got):\n%s", f, diff)
			}
		}
		_, part := c.history("H1", "09:30", "10:00")
		if diff := cmp.Diff([]stretch{{"09:30", "10:00", "too cold", "118 °C", "118 °C", inside}}, part); diff != "" {
			t.Errorf("a part of it (-want +got):\n%s", diff)
		}
	})
}

func TestOvenHistoryOfAPlaceThatNoRuleAsksAnythingOfIsRefused(t *testing.T) {
	t.Parallel()
	c := newCrib(t, dbtest.SQLite(t), "yard")
	for place, code := range map[string]inventory.Code{"bench": inventory.NoRule, "H7": inventory.Unknown} {
		_, err := c.app.OvenHistory(t.Context(), place, 0, c.at("12:00"))
		if ref, ok := errors.AsType[*inventory.Refusal](err); !ok || ref.Code != code || ref.Next == "" {
			t.Errorf("%s: %v, want a refusal %s with a next step", place, err, code)
		}
	}
	if _, got := c.history("H1", "", "12:00"); len(got) != 0 {
		t.Errorf("an oven that was never read: %v, want nothing", got)
	}
	c.record("06:00", &inventory.PlaceSet{Place: "BK", SortKind: "bake oven"})
	c.record("06:00", &inventory.PlaceSet{Place: "Q1", SortKind: "quiver"})
	h, err := c.app.OvenHistory(t.Context(), "BK", 0, c.at("12:00"))
	if err != nil || h.Asked.String() != "at most 430 C" {
		t.Errorf("the bake oven is asked %s, %v, want at most 430 C", h.Asked, err)
	}
}
