package rules_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

func row(name string, a rules.Authority, low, high int64, soak measure.Duration) rules.BakeRow {
	temp := func(c int64) rules.Temp {
		return rules.Temp{Temperature: measure.Celsius(c), Text: fmt.Sprintf("%d C", c)}
	}
	return rules.BakeRow{Meta: rules.Meta{Row: name, Authority: a}, Min: temp(low), Max: temp(high), Soak: soak}
}

// The code asks for 260 to 430 °C and 2 h with half the temperature first, the
// maker for 300 to 350 °C and 1 h: of each the tighter stands, and is whose it is.
func TestPartsOfARecipeNameTheRowTheyComeFrom(t *testing.T) {
	t.Parallel()
	code, maker := row("code", rules.Code, 260, 430, 2*measure.Hour), row("maker", rules.Maker, 300, 350, measure.Hour)
	code.Presoak, code.PresoakPercent, code.ClockFrom = 30*measure.Minute, 50, rules.FromOven
	maker.SoakMax, maker.MaxLayers = 3*measure.Hour, 4
	parts, err := rules.Recipe{Rows: []rules.BakeRow{code, maker}}.Parts(inventory.BakeOrder{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range parts {
		got = append(got, p.What+" "+p.Says+": "+p.Row.Row)
	}
	want := []string{"at least 300 C: maker", "at most 350 C: maker", "pre-soak 30 min: code",
		"pre-soak at most 50 % of the chosen temperature: code", "soak 2 h: code", "soak at most 3 h: maker", "layers at most 4: maker"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("parts (-want +got):\n%s", diff)
	}
}

// Whatever two rows ask, every figure of what keeps both is one of theirs.
func TestEveryPartOfARecipeIsSomebodys(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		any := func(name string, a rules.Authority) rules.BakeRow {
			low := rapid.Int64Range(200, 300).Draw(t, "low")
			r := row(name, a, low, rapid.Int64Range(300, 400).Draw(t, "high"), measure.Duration(rapid.Int64Range(1, 3).Draw(t, "soak"))*measure.Hour)
			r.ClockFrom = rapid.SampledFrom([]rules.ClockFrom{"", rules.FromOven, rules.FromLoad}).Draw(t, "clock")
			r.SoakMax = measure.Duration(rapid.SampledFrom([]int64{0, 3, 4}).Draw(t, "most")) * measure.Hour
			r.MaxLayers = rapid.Int64Range(0, 4).Draw(t, "layers")
			return r
		}
		r := rules.Recipe{Rows: []rules.BakeRow{any("code", rules.Code), any("shop", rules.House)}}
		whole, err := r.For(inventory.BakeOrder{})
		if err != nil {
			t.Fatal(err)
		}
		parts, err := r.Parts(inventory.BakeOrder{})
		if err != nil {
			t.Fatal(err)
		}
		said := map[string]bool{}
		for _, p := range parts {
			said[p.What] = true
		}
		for what, asked := range map[string]bool{"at least": true, "at most": true, "soak": true, "layers at most": whole.MaxLayers > 0,
			"counted from": whole.ClockFrom != "", "soak at most": whole.SoakMax > 0 && whole.ClockFrom != rules.FromOven,
			"soak at most, from the oven": whole.OvenSoakMax > 0 || (whole.SoakMax > 0 && whole.ClockFrom == rules.FromOven)} {
			if said[what] != asked {
				t.Errorf("%s is said: %t, asked: %t, of %+v", what, said[what], asked, whole)
			}
		}
	})
}
