package moisture_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/moisture"
)

func airOf(t testing.TB, celsius, percent int64) air.Air {
	t.Helper()
	a, err := air.New(measure.Celsius(celsius), measure.Saturated/100*measure.Humidity(percent))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func near(got, want, within float64) bool { return math.Abs(got-want) <= within }

// Worked values of the two forms through 0.67 % after 9 h at 27 °C and 80 % RH
// (Scientific Reports 13:9892, 2023), and of an R covering with 0.03 % to 0.1 % then;
// calculated by hand to two places.
func TestFormsMeetTheirPublishedFigures(t *testing.T) {
	t.Parallel()
	plain, r := moisture.Published(moisture.Plain), moisture.Published(moisture.Resistant)
	in := airOf(t, 27, 80)
	for _, c := range []struct{ hours, root, linear, low, high float64 }{
		{0.5, 0.16, 0.04, 0.01, 0.02}, {1, 0.22, 0.07, 0.01, 0.03}, {2, 0.32, 0.15, 0.01, 0.05}, {4, 0.45, 0.30, 0.02, 0.07},
		{6, 0.55, 0.45, 0.02, 0.08}, {8, 0.63, 0.60, 0.03, 0.09}, {9, 0.67, 0.67, 0.03, 0.10}, {12, 0.77, 0.89, 0.03, 0.12}, {24, 1.09, 1.79, 0.05, 0.16},
	} {
		at := measure.Duration(c.hours * float64(measure.Hour))
		root, _ := plain[0].Gain(at, in, 1)
		linear, _ := plain[1].Gain(at, in, 1)
		low, high := r[0].Gain(at, in, 1)
		if !near(root, c.root, 0.006) || !near(linear, c.linear, 0.006) || !near(low, c.low, 0.006) || !near(high, c.high, 0.006) {
			t.Errorf("after %v h: %.3f, %.3f, R %.3f to %.3f, want %.2f, %.2f, R %.2f to %.2f", c.hours, root, linear, low, high,
				c.root, c.linear, c.low, c.high)
		}
	}
}

// A yard's manual prints 0.5 % to 1.0 % of a low-hydrogen covering after 6 h at 70 %
// RH, and 1.0 % to 1.5 % at 100 %; it names no temperature, and 27 °C is taken. An
// honest range overlaps both.
func TestEstimateCoversAYardsFigures(t *testing.T) {
	t.Parallel()
	for percent, printed := range map[int64][2]float64{70: {0.5, 1.0}, 100: {1.0, 1.5}} {
		got := moisture.Estimate(moisture.Plain, 6*measure.Hour, 6*measure.Hour, airOf(t, 27, percent))
		if got.Low > printed[0] || got.High < printed[1] {
			t.Errorf("6 h at %d %%: %.2f to %.2f, which does not cover %v", percent, got.Low, got.High, printed)
		}
	}
}

// Hirai, Hiro and Tsuboi's formula with a brand constant of 50, worked by hand.
func TestHydrogenFormula(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ a, b, want float64 }{
		{0, 12, 5.79}, {0.5, 12, 6.18}, {1, 12, 6.55}, {0, 21, 6.16}, {0.5, 21, 6.53}, {1, 21, 6.89}, {0, 29, 6.48}, {0.5, 29, 6.83}, {1, 29, 7.18},
	} {
		if got := moisture.Hydrogen(50, c.a, c.b); !near(got, c.want, 0.006) {
			t.Errorf("a %v %%, b %v mmHg: %.3f ml/100 g, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

// 16 mmHg more vapour counts as 0.64·16/12 = 0.85 % of absorbed water.
func TestVapourCountsAsAbsorbedWater(t *testing.T) {
	t.Parallel()
	in := airOf(t, 27, 80) // 21.3 mmHg by the Magnus form
	if got, want := moisture.AsAbsorbed(in), 0.64*21.3/12; !near(got, want, 0.005) {
		t.Errorf("AsAbsorbed(%s) = %.3f, want %.3f", in, got, want)
	}
	if got, want := moisture.Hydrogen(50, moisture.AsAbsorbed(in), 0), moisture.Hydrogen(50, 0, in.VapourMMHg()); !near(got, want, 1e-9) {
		t.Errorf("hydrogen of as much absorbed water is %.6f, of the vapour %.6f", got, want)
	}
}

// Air of 35 °C and 80 % has 33.7 mmHg for the tests' 21.3: with the strongest form
// (power 1.5 of vapour, square root of time) the time falls by (21.3/33.7)³ to a
// quarter, 1:00 of 4:00, with the weakest by its square root to 3:10.
func TestMoistAirAsksForRodsEarlier(t *testing.T) {
	t.Parallel()
	first, last := moisture.Earlier(moisture.Plain, 4*measure.Hour, airOf(t, 35, 80))
	if !near(float64(first), 4*math.Pow(21.3/33.7, 3)*float64(measure.Hour), float64(2*measure.Minute)) ||
		!near(float64(last), 4*math.Pow(21.3/33.7, 0.5)*float64(measure.Hour), float64(2*measure.Minute)) {
		t.Errorf("Earlier = %s to %s, want about 1:00 to 3:10", first, last)
	}
	if first, last := moisture.Earlier(moisture.Plain, 4*measure.Hour, airOf(t, 20, 50)); first != 4*measure.Hour || last != first {
		t.Errorf("dry air: %s to %s, want the limit and no more", first, last)
	}
}

// Advice may tighten and never extend, for whatever air, exposure and limit; an
// estimate is a range, grows with exposure, and never stands without its caution's
// words.
func TestAdviceNeverExtends(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom([]moisture.Covering{moisture.Plain, moisture.Resistant}).Draw(t, "covering")
		span := rapid.Int64Range(0, int64(240*measure.Hour))
		least := measure.Duration(span.Draw(t, "least"))
		most := least + measure.Duration(span.Draw(t, "more"))
		limit := measure.Duration(span.Draw(t, "limit"))
		in, err := air.New(measure.Celsius(rapid.Int64Range(-45, 60).Draw(t, "celsius")),
			measure.Saturated/100*measure.Humidity(rapid.Int64Range(0, 100).Draw(t, "percent")))
		if err != nil {
			t.Fatal(err)
		}
		a := moisture.Advise(c, least, most, limit, &in)
		if a.First < 0 || a.First > a.Last || a.Last > limit {
			t.Errorf("back after %s to %s, the limit is %s", a.First, a.Last, limit)
		}
		if a.Taken.Low < 0 || a.Taken.Low > a.Taken.High || math.IsNaN(a.Taken.High) || math.IsInf(a.Taken.High, 0) {
			t.Errorf("taken up %v to %v", a.Taken.Low, a.Taken.High)
		}
		if more := moisture.Advise(c, least, most+measure.Hour, limit, &in); more.Taken.High < a.Taken.High {
			t.Errorf("an hour more takes up less: %v, %v", more.Taken.High, a.Taken.High)
		}
		if (a.Back() == "") != (a.First == limit) {
			t.Errorf("Back() = %q of %s, limit %s", a.Back(), a.First, limit)
		}
	})
}

func TestAdviceSaysWhatItRestsOn(t *testing.T) {
	t.Parallel()
	a := moisture.Advise(moisture.Plain, measure.Hour, 2*measure.Hour, 4*measure.Hour, nil)
	for _, want := range []string{"1 h to 2 h exposed", "air not read, taken as 27 °C, 80 % RH", "plain covering"} {
		if !strings.Contains(a.Says(), want) {
			t.Errorf("Says() = %q, want %q in it", a.Says(), want)
		}
	}
}
