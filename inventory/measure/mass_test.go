package measure_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

// 1 lb = 0.453 592 37 kg exactly: NIST Special Publication 811, appendix B.8.
func TestMassUnitsAreExact(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseMass, []reading[measure.Mass]{
		{"1 lb", 453_592_370}, {"1 lb.", 453_592_370}, {"2 lbs", 907_184_740}, {"1 pound", 453_592_370},
		{"50 LB", 22_679_618_500}, {"10 pounds", 4_535_923_700}, {"1/2 lb", 226_796_185}, {"0.0273 lb", 12_383_072},
		{"1 mg", 1_000}, {"1 g", 1_000_000}, {"4.5 kg", 4_500_000_000}, {"1 t", 1_000_000_000_000},
	})
}

func TestMassIsRefused(t *testing.T) {
	t.Parallel()
	checkFaults(t, "mass", measure.ParseMass, faults{
		"5 oz": `unknown unit "oz"`, "2 tons": "unknown unit", "3 mm": "unknown unit", "9999999999 t": "too large",
	})
}

func TestMassIsPrinted(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		m              measure.Mass
		metric, pounds string
	}{
		{0, "0 g", "0 lb"}, {measure.Pound, "1 lb", "1 lb"}, {50 * measure.Pound, "50 lb", "50 lb"},
		{50*measure.Pound - 12*measure.Kilogram, "10.68 kg", "23.54 lb"}, {4_535_924, "0.01 lb", "0.01 lb"},
		{999_994_999, "999.99 g", "2.2 lb"}, {measure.Kilogram, "1 kg", "2.2 lb"},
		{-measure.Kilogram, "-1 kg", "-2.2 lb"},
		{125 * measure.Milligram, "0.13 g", "0 lb"}, {-1, "0 g", "0 lb"},
	} {
		if c.m.String() != c.metric || c.m.PoundString() != c.pounds {
			t.Errorf("%d is printed %q and %q, want %q and %q", c.m, c.m.String(), c.m.PoundString(), c.metric, c.pounds)
		}
	}
}

func TestMassInOtherUnits(t *testing.T) {
	t.Parallel()
	if m := 10 * measure.Pound; m.Pounds() != 10 || m.Kilograms() != 4.5359237 || m.Grams() != 4535.9237 {
		t.Errorf("10 lb are %v lb, %v kg, %v g", m.Pounds(), m.Kilograms(), m.Grams())
	}
}

func TestPrintedMassReadsBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		grams := measure.Mass(rapid.Int64Range(-1e9, 1e9).Draw(t, "g")) * measure.Gram
		hundredths := measure.Mass(rapid.Int64Range(-99_999, 99_999).Draw(t, "0.01 g")) * measure.Gram / 100
		for _, m := range []measure.Mass{grams, hundredths} {
			if got, err := measure.ParseMass(m.String()); err != nil || got != m {
				t.Fatalf("%d prints as %s and reads as %d, %v", m, m, got, err)
			}
		}
		pounds := measure.Mass(rapid.Int64Range(-1e9, 1e9).Draw(t, "lb")) * measure.Pound
		if got, err := measure.ParseMass(pounds.PoundString()); err != nil || got != pounds {
			t.Fatalf("%d prints as %s and reads as %d, %v", pounds, pounds.PoundString(), got, err)
		}
	})
}

// What a screen shows can be asked for again, and it is all of it: a record has
// every digit, and what is read off the screen is near it.
func TestAllOfAMassIsAllOfIt(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		m := measure.Mass(rapid.Int64Range(1, 1e12).Draw(t, "ug"))
		if got, err := measure.ParseMass(m.Exact()); err != nil || got != m {
			t.Fatalf("%d is recorded as %s and reads as %d, %v", m, m.Exact(), got, err)
		}
		if shown, err := measure.ParseMass(m.String()); err != nil || !shown.Near(m) {
			t.Fatalf("%d is shown as %s, which is %d: not near it, %v", m, m, shown, err)
		}
		if step := m.String(); (m + measure.Kilogram).Near(m) {
			t.Fatalf("%s is near a kilogram more", step)
		}
	})
}

func FuzzParseMass(f *testing.F) {
	seed(f, "50 lb", "4.5 kg", "250 g", "1,5 kg", "12,500 kg", "1/2 lb", "1 t", "-3 mg")
	f.Fuzz(func(t *testing.T, s string) {
		m, err := measure.ParseMass(s)
		if err != nil {
			refused(t, err, "mass", s, "")
			return
		}
		step := measure.Gram
		if m > -measure.Kilogram && m < measure.Kilogram {
			step = measure.Gram / 100
		}
		again(t, m, measure.Mass.String, measure.ParseMass, step)
	})
}
