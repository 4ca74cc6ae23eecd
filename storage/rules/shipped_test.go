package rules_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/storage/rules"
)

func TestEveryShippedSetIsSound(t *testing.T) {
	t.Parallel()
	want := []string{"example-company", "example-maker", "example-store-climate", "maker-directed", "reference-portable",
		"reference-running", "reference-summed", "seismic-cored-72h", "structural-2015-a", "structural-2015-a514",
		"structural-2015-b"}
	if got := rules.ShippedIDs(); !slices.Equal(got, want) {
		t.Errorf("ShippedIDs() = %v, want %v", got, want)
	}
	for _, id := range rules.ShippedIDs() {
		s := shipped(t, id)
		if s.ID != id {
			t.Errorf("the file %s.toml holds the set %q", id, s.ID)
		}
		if s.Caution == "" {
			t.Errorf("set %s has no caution", id)
		}
	}
}

// The three reference sets differ in the clock and the quiver, and in nothing
// else.
func TestReferenceSetsDifferOnlyWhereTheyShould(t *testing.T) {
	t.Parallel()
	running, summed := shipped(t, "reference-running"), shipped(t, "reference-summed")
	undo := strings.NewReplacer("reference-summed", "reference-running", "summed clock", "running clock",
		`"summed"`, `"running"`)
	if undo.Replace(summed.Text) != running.Text {
		t.Error("reference-summed differs from reference-running in more than its policy")
	}
	before, _, _ := strings.Cut(running.Text, "[[quiver]]")
	head, _, _ := strings.Cut(shipped(t, "reference-portable").Text, "[[quiver]]")
	undo = strings.NewReplacer("reference-portable", "reference-running",
		"portable ovens with their own credit", "running clock")
	if undo.Replace(head) != before {
		t.Error("reference-portable differs from reference-running in more than its quiver row")
	}
}

// The company specification behind the example set: conditioned at 260 to
// 430 °C for two hours, held at 120 °C, four hours out, eight if always in a
// portable oven at 65 °C or more (single source).
func TestExampleCompanyFigures(t *testing.T) {
	t.Parallel()
	r, err := shipped(t, "example-company").Resolve(stock(t, "E7018"))
	if err != nil {
		t.Fatal(err)
	}
	got := []string{r.Limit().String(), r.Hold.Min.String(), r.Hold.Duration.String(),
		r.Bake.Min.String(), r.Bake.Max.String(), r.Bake.Soak.String(),
		r.Quiver.Min.String(), r.Quiver.Total.String(), string(r.Quiver.OnDip)}
	want := []string{"4:00", "120 C", "4:00", "260 C", "430 C", "2:00", "65 C", "8:00", "revert"}
	if !slices.Equal(got, want) {
		t.Errorf("figures %v, want %v", got, want)
	}
}

// Practical Welding Today, May/June 2009, p. 29, on D1.8.
func TestCoredWireIs72HoursOutOfItsPack(t *testing.T) {
	t.Parallel()
	s := shipped(t, "seismic-cored-72h")
	r, err := s.Resolve(stock(t, "E71T-1C"))
	if err != nil {
		t.Fatal(err)
	}
	if r.Limit() != span(t, "72h") || r.Clock.Policy != rules.Summed || r.Bake != nil || r.Bakes.Max != 0 {
		t.Errorf("%s, %s, bake %v, want 72:00 summed and no bake", r.Limit(), r.Clock.Policy, r.Bake)
	}
	if _, err := s.Resolve(stock(t, "E7018")); err == nil {
		t.Error("the set for cored wire rules on a rod")
	}
}

func TestUnknownSetIsRefusedWithTheNamesThereAre(t *testing.T) {
	t.Parallel()
	_, err := rules.Shipped("structural-2015")
	ref, ok := errors.AsType[*inventory.Refusal](err)
	if !ok || ref.Code != inventory.Unknown || !strings.Contains(ref.Next, "structural-2015-a") {
		t.Errorf("Shipped() = %v, want the refusal unknown with the names", err)
	}
}
