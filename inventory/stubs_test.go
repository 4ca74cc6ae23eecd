package inventory_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory"
)

// The figures are those of a site rule: 97 % on the ground, 95 % during
// erection, a charge under 90 %.
func TestStubTargetsAreReadAsTheyArePrinted(t *testing.T) {
	t.Parallel()
	got, err := inventory.ParseStubTargets(" ground = 97 %, erection=95,charge=90")
	want := inventory.StubTargets{Stages: []inventory.StubTarget{{Stage: "ground", Percent: 97}, {Stage: "erection", Percent: 95}}, Charge: 90}
	if diff := cmp.Diff(want, got); diff != "" || err != nil {
		t.Errorf("ParseStubTargets() = %v (-want +got):\n%s", err, diff)
	}
	if text := got.String(); text != "ground=97,erection=95,charge=90" {
		t.Errorf("String() = %q", text)
	}
	if n, ok := got.For("erection"); !ok || n != 95 {
		t.Errorf("For(erection) = %g, %t, want 95", n, ok)
	}
	if n, ok := got.For("repair"); ok {
		t.Errorf("For(repair) = %g, want none", n)
	}
}

func TestStubTargetsThatAreNoneAreRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "ground", "ground=", "=97", "ground=0", "ground=101", "ground=97,ground=95", "ground=NaN"} {
		_, err := inventory.ParseStubTargets(text)
		if ref, ok := errors.AsType[*inventory.Refusal](err); !ok || ref.Code != inventory.Unit {
			t.Errorf("ParseStubTargets(%q) = %v, want a refusal with code unit", text, err)
		}
	}
}

func FuzzParseStubTargets(f *testing.F) {
	for _, s := range []string{"ground=97,erection=95,charge=90", "a=1", "=", ",", "x=1e1", "x=%"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		all, err := inventory.ParseStubTargets(s)
		if err != nil {
			return
		}
		again, err := inventory.ParseStubTargets(all.String())
		if err != nil || !cmp.Equal(all, again) {
			t.Errorf("%q is read as %v, and printed and read again as %v, %v", s, all, again, err)
		}
	})
}
