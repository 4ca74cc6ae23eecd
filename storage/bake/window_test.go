package bake_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/bake"
	"ovenward/storage/rules"
)

// maker is the window of boundary 37 with the longest soak of boundary 38; the
// code's side is D1.1/D1.1M:2015 5.3.2.4.
func maker(t testing.TB) rules.BakeRow {
	r := row(t, "300 C", "350 C", "1h")
	r.Meta = rules.Meta{Row: "maker", Authority: rules.Maker, Source: "data sheet", Status: rules.Memory}
	r.Presoak, r.PresoakPercent, r.SoakMax = 0, 0, 150*measure.Minute
	return *r
}

func code(r *rules.BakeRow) rules.BakeRow {
	r.Meta = rules.Meta{Row: "code", Authority: rules.Code, Source: "5.3.2.4", Status: rules.Confirmed}
	return *r
}

func TestWindowIsWhatBothRowsAllow(t *testing.T) {
	t.Parallel()
	got, err := bake.Window(code(a51US(t)), maker(t))
	if err != nil {
		t.Fatal(err)
	}
	want := rules.BakeRow{
		Meta: rules.Meta{Row: "code+maker", Authority: rules.Code, Source: "5.3.2.4; data sheet", Status: rules.Memory},
		Min:  temp(t, "300 C"), Max: temp(t, "350 C"), Soak: 2 * measure.Hour, SoakMax: 150 * measure.Minute,
		PresoakPercent: 50, Presoak: 30 * measure.Minute,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("boundary 37: window (-want +got):\n%s", diff)
	}
}

func TestEmptyWindowNamesBoth(t *testing.T) {
	t.Parallel()
	slow := code(a51SI(t))
	slow.Soak = 3 * measure.Hour
	for _, tt := range []struct {
		name  string
		a     rules.BakeRow
		words []string
	}{
		{"boundary 37: A5.5 rods", code(a55US(t)), []string{"700 F to 800 F", "300 C to 350 C", "no temperature in common"}},
		{"soak", slow, []string{"for 3 h", "for 1 h to 2 h 30 min", "no length of soak in common"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := bake.Window(tt.a, maker(t))
			if _, ok := errors.AsType[*bake.WindowError](err); !ok {
				t.Fatalf("Window() = %v, want a *WindowError", err)
			}
			for _, w := range tt.words {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("error %q does not say %q", err, w)
				}
			}
		})
	}
}

// A run that is valid by the window of two rows is valid by each of them.
func TestValidByTheWindowIsValidByBoth(t *testing.T) {
	t.Parallel()
	valid := 0
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawRow(t, "a"), drawRow(t, "b")
		w, err := bake.Window(a, b)
		if err != nil {
			return
		}
		r := drawRun(t, w)
		if bake.Judge(r).Result != bake.Valid {
			return
		}
		valid++
		for _, one := range []rules.BakeRow{a, b} {
			r.Row = &one
			if got := bake.Judge(r); got.Result != bake.Valid {
				t.Fatalf("valid by %+v, by %+v %v: %s", w, one, got.Result, got.Why)
			}
		}
	})
	if valid == 0 {
		t.Error("no run drawn was valid: the property was not tried")
	}
}
