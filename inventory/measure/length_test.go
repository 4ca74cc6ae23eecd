package measure_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
)

// 1 in = 25.4 mm exactly, 1 ft = 12 in: NIST Special Publication 811, appendix B.8.
func TestLengthUnitsAreExact(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseLength, []reading[measure.Length]{
		{"1 in", 25_400_000}, {`1"`, 25_400_000}, {"1 in.", 25_400_000}, {"1 inch", 25_400_000}, {"2 inches", 50_800_000},
		{"1″", 25_400_000}, {"1”", 25_400_000}, {"1 IN", 25_400_000},
		{"1 ft", 304_800_000}, {"1'", 304_800_000}, {"1’", 304_800_000},
		{"1 foot", 304_800_000}, {"100 feet", 30_480_000_000},
		{"1 mm", 1_000_000}, {"1 cm", 10_000_000}, {"1 m", 1_000_000_000},
		// Sizes of rods: 3/32, 1/8, 5/32 and 3/16 in.
		{"3/32 in", 2_381_250}, {"1/8 in", 3_175_000}, {"5/32 in", 3_968_750}, {"3/16 in", 4_762_500},
		{"1/64 in", 396_875}, {"14 in", 355_600_000}, {`1 1/2"`, 38_100_000}, {"0,125 in", 3_175_000},
	})
	if measure.Inch*12 != measure.Foot || measure.Millimetre*1000 != measure.Metre {
		t.Errorf("a foot is %d, a metre %d", measure.Foot, measure.Metre)
	}
	var _ measure.Length = 3 * measure.Inch // the constants are lengths, not numbers
}

func TestLengthIsRefused(t *testing.T) {
	t.Parallel()
	checkFaults(t, "length", measure.ParseLength, faults{
		"3.2 kg": `unknown unit "kg"`, "3 mils": "unknown unit", `5' 6"`: "unknown unit", "3 mm mm": "unknown unit",
		"9300000000 m": "too large", "-9300000000 m": "too large",
	})
}

func TestLengthIsRoundedToTheNearestNanometre(t *testing.T) {
	t.Parallel()
	checkReadings(t, measure.ParseLength, []reading[measure.Length]{
		{"0.0000004 mm", 0}, {"0.0000005 mm", 1}, {"-0.0000005 mm", -1}, {"1/3 mm", 333_333}, {"2/3 mm", 666_667},
	})
}

func TestLengthIsPrinted(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		l          measure.Length
		mm, inches string
	}{
		{measure.Inch / 8, "3.175 mm", "1/8 in"}, {measure.Inch, "25.4 mm", "1 in"}, {0, "0 mm", "0 in"},
		{measure.Inch * 3 / 2, "38.1 mm", "1 1/2 in"}, {measure.Inch / 64, "0.397 mm", "1/64 in"},
		{14 * measure.Inch, "355.6 mm", "14 in"}, {3_200_000, "3.2 mm", "0.126 in"},
		{-measure.Inch / 2, "-12.7 mm", "-0.5 in"}, {-1, "0 mm", "0 in"},
		{math.MaxInt64, "9223372036854.776 mm", "363124883340.739 in"},
	} {
		if c.l.String() != c.mm || c.l.InchString() != c.inches {
			t.Errorf("%d is printed %q and %q, want %q and %q", c.l, c.l.String(), c.l.InchString(), c.mm, c.inches)
		}
	}
}

func TestLengthInOtherUnits(t *testing.T) {
	t.Parallel()
	if l := measure.Inch / 8; l.Millimetres() != 3.175 || l.Inches() != 0.125 {
		t.Errorf("1/8 in is %v mm and %v in", l.Millimetres(), l.Inches())
	}
}

func TestPrintedLengthReadsBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		micrometres := rapid.Int64Range(-1e12, 1e12).Draw(t, "µm")
		l := measure.Length(micrometres) * measure.Micrometre
		if got, err := measure.ParseLength(l.String()); err != nil || got != l {
			t.Fatalf("%d prints as %s and reads as %d, %v", l, l, got, err)
		}
		parts := rapid.Int64Range(1, 64*1200).Draw(t, "1/64 in")
		l = measure.Length(parts) * (measure.Inch / 64)
		if got, err := measure.ParseLength(l.InchString()); err != nil || got != l {
			t.Fatalf("%d prints as %s and reads as %d, %v", l, l.InchString(), got, err)
		}
	})
}

func TestNearSizesAreOneRod(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"1/8 in", "3.2 mm", true}, {"5/32 in", "4 mm", true}, {"3/16 in", "4.8 mm", true},
		{"3.2 mm", "4 mm", false}, {"1/8 in", "3/32 in", false},
		{"3.2 mm", "3.3 mm", true}, {"3.2 mm", "3.301 mm", false},
	} {
		a, errA := measure.ParseLength(c.a)
		b, errB := measure.ParseLength(c.b)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if a.Near(b) != c.want || b.Near(a) != c.want {
			t.Errorf("%s near %s: %t and %t, want %t", c.a, c.b, a.Near(b), b.Near(a), c.want)
		}
	}
}

func FuzzParseLength(f *testing.F) {
	seed(f, "1/8 in", "3.2 mm", `1 1/2"`, "100 ft", "1,000 mm", "½ in", "-0", "9e9 m", "1/64\u00a0in")
	f.Fuzz(func(t *testing.T, s string) {
		l, err := measure.ParseLength(s)
		if err != nil {
			refused(t, err, "length", s, "")
			return
		}
		again(t, l, measure.Length.String, measure.ParseLength, measure.Micrometre)
	})
}

// again checks that what a quantity prints is read as that quantity, rounded to
// the step that is printed.
func again[T ~int64](t *testing.T, x T, print func(T) string, parse func(string) (T, error), step T) {
	t.Helper()
	if x > math.MaxInt64-step || x < math.MinInt64+step {
		return // rounded up it would be too large
	}
	y, err := parse(print(x))
	if err != nil {
		t.Fatalf("%d prints as %q: %v", int64(x), print(x), err)
	}
	if off := max(x-y, y-x); off > step/2 || (x%step == 0 && off != 0) {
		t.Fatalf("%d prints as %q and reads as %d", int64(x), print(x), int64(y))
	}
	if print(y) != print(x) {
		t.Fatalf("%d prints as %q, read back and printed %q", int64(x), print(x), print(y))
	}
}
