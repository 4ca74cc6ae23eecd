package rules_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// recipeRow is a bake row with the code's pre-soak of half the chosen
// temperature for half an hour (D1.1/D1.1M:2015 5.3.2.4).
func recipeRow(t testing.TB, low, high string, soak measure.Duration) rules.BakeRow {
	t.Helper()
	r := rules.BakeRow{Min: temp(t, low), Max: temp(t, high), Soak: soak, PresoakPercent: 50, Presoak: 30 * measure.Minute}
	r.Meta = rules.Meta{Row: "code", Authority: rules.Code, Source: "5.3.2.4", Status: rules.Confirmed}
	return r
}

func temp(t testing.TB, text string) rules.Temp {
	t.Helper()
	v, err := measure.ParseTemperature(text)
	if err != nil {
		t.Fatal(err)
	}
	return rules.Temp{Temperature: v, Text: text}
}

// makersRow is the window of boundary 37 with the longest soak of boundary 38.
func makersRow(t testing.TB) rules.BakeRow {
	r := recipeRow(t, "300 C", "350 C", measure.Hour)
	r.Meta = rules.Meta{Row: "maker", Authority: rules.Maker, Source: "data sheet", Status: rules.Memory}
	r.Presoak, r.PresoakPercent, r.SoakMax = 0, 0, 150*measure.Minute
	return r
}

func TestIntersectionIsWhatBothRowsAllow(t *testing.T) {
	t.Parallel()
	got, err := rules.Intersect(recipeRow(t, "500 F", "800 F", 2*measure.Hour), makersRow(t))
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

func TestEmptyIntersectionNamesBothRows(t *testing.T) {
	t.Parallel()
	slow := recipeRow(t, "260 C", "430 C", 3*measure.Hour)
	for _, tt := range []struct {
		name  string
		a     rules.BakeRow
		words []string
	}{
		{"boundary 37: A5.5 rods", recipeRow(t, "700 F", "800 F", measure.Hour),
			[]string{"row code (700 F to 800 F", "row maker (300 C to 350 C", "no temperature in common"}},
		{"soak", slow, []string{"for 3 h", "for 1 h to 2 h 30 min", "no length of soak in common"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := rules.Intersect(tt.a, makersRow(t))
			if _, ok := errors.AsType[*rules.WindowError](err); !ok {
				t.Fatalf("Intersect() = %v, want a *WindowError", err)
			}
			for _, w := range tt.words {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("error %q does not say %q", err, w)
				}
			}
		})
	}
}

// The longest soak of a row that counts from the oven stays by the oven's clock
// where the recipe counts from the load.
func TestLongestSoakKeepsItsClock(t *testing.T) {
	t.Parallel()
	oven, load := recipeRow(t, "260 C", "430 C", 2*measure.Hour), makersRow(t)
	oven.ClockFrom, oven.SoakMax, load.ClockFrom = rules.FromOven, 4*measure.Hour, rules.FromLoad
	for _, pair := range [][2]rules.BakeRow{{oven, load}, {load, oven}} {
		got, err := rules.Intersect(pair[0], pair[1])
		if err != nil || got.ClockFrom != rules.FromLoad || got.SoakMax != 150*measure.Minute || got.OvenSoakMax != 4*measure.Hour {
			t.Errorf("clock from the %s, soak up to %v, by the oven %v (%v), want load, 2:30, 4:00",
				got.ClockFrom, got.SoakMax, got.OvenSoakMax, err)
		}
	}
}

func drawBakeRow(t *rapid.T, name string) rules.BakeRow {
	degrees := func(low, high int64, what string) rules.Temp {
		v := measure.Celsius(rapid.Int64Range(low, high).Draw(t, name+" "+what))
		return rules.Temp{Temperature: v, Text: v.String()}
	}
	some := func(low, high int64, what string) int64 {
		if rapid.Bool().Draw(t, name+" has no "+what) {
			return 0
		}
		return rapid.Int64Range(low, high).Draw(t, name+" "+what)
	}
	r := rules.BakeRow{Min: degrees(200, 330, "min"), Max: degrees(320, 430, "max"),
		Soak:           measure.Duration(rapid.Int64Range(10, 120).Draw(t, name+" soak")) * measure.Minute,
		SoakMax:        measure.Duration(some(60, 240, "longest soak")) * measure.Minute,
		Presoak:        measure.Duration(some(5, 60, "pre-soak")) * measure.Minute,
		PresoakPercent: some(30, 60, "share"), MaxLayers: some(1, 6, "layers"),
		MaxDepth:  measure.Length(some(1, 4, "depth")) * measure.Inch,
		ClockFrom: rapid.SampledFrom([]rules.ClockFrom{"", rules.FromOven, rules.FromLoad}).Draw(t, name+" clock"),
	}
	if rate := measure.Temperature(some(50, 300, "ramp")); rate > 0 {
		r.RampMax = rules.Rate{PerHour: rate * measure.Degree, Text: rate.String()}
		r.RampOver = 10 * measure.Minute
	}
	return r
}

// figures is a row without what says whose it is.
func figures(r rules.BakeRow) rules.BakeRow {
	r.Meta, r.Match = rules.Meta{}, rules.Match{}
	return r
}

func TestIntersectionDoesNotDependOnTheOrder(t *testing.T) {
	t.Parallel()
	full := 0
	rapid.Check(t, func(t *rapid.T) {
		rows := []rules.BakeRow{drawBakeRow(t, "a"), drawBakeRow(t, "b"), drawBakeRow(t, "c")}
		want, wantErr := all(rows)
		swapped := rapid.Permutation(rows).Draw(t, "order")
		got, err := all(swapped)
		right, rightErr := rules.Intersect(swapped[1], swapped[2])
		if rightErr == nil {
			right, rightErr = rules.Intersect(swapped[0], right)
		}
		if (err == nil) != (wantErr == nil) || (rightErr == nil) != (wantErr == nil) {
			t.Fatalf("%v, in another order %v, from the right %v", wantErr, err, rightErr)
		}
		if wantErr != nil {
			return
		}
		full++
		if diff := cmp.Diff(figures(want), figures(got)); diff != "" {
			t.Fatalf("another order (-want +got):\n%s", diff)
		}
		if diff := cmp.Diff(figures(want), figures(right)); diff != "" {
			t.Fatalf("from the right (-want +got):\n%s", diff)
		}
	})
	if full == 0 {
		t.Error("every window drawn was empty: the property was not tried")
	}
}

func all(rows []rules.BakeRow) (rules.BakeRow, error) {
	whole := rows[0]
	for _, r := range rows[1:] {
		var err error
		if whole, err = rules.Intersect(whole, r); err != nil {
			return whole, err
		}
	}
	return whole, nil
}

// within reports whether a limit is kept by another; zero is none.
func within[T ~int64](got, limit T) bool { return limit == 0 || (got != 0 && got <= limit) }

func TestIntersectionIsNeverLooserThanEither(t *testing.T) {
	t.Parallel()
	clocks := []rules.ClockFrom{rules.FromOven, "", rules.FromLoad} // from the earliest to the latest
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawBakeRow(t, "a"), drawBakeRow(t, "b")
		w, err := rules.Intersect(a, b)
		if err != nil {
			return
		}
		for _, one := range []rules.BakeRow{a, b} {
			soakMax := w.SoakMax
			if one.ClockFrom == rules.FromOven && w.ClockFrom != rules.FromOven {
				soakMax = w.OvenSoakMax
			}
			if w.Min.Temperature < one.Min.Temperature || w.Max.Temperature > one.Max.Temperature ||
				w.Soak < one.Soak || w.Presoak < one.Presoak || !within(soakMax, one.SoakMax) ||
				!within(w.PresoakPercent, one.PresoakPercent) || !within(w.MaxLayers, one.MaxLayers) ||
				!within(w.MaxDepth, one.MaxDepth) || !within(w.RampMax.PerHour, one.RampMax.PerHour) ||
				slices.Index(clocks, w.ClockFrom) < slices.Index(clocks, one.ClockFrom) {
				t.Fatalf("%+v is looser than %+v", w, one)
			}
		}
	})
}
