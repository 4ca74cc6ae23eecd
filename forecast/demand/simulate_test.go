package demand_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

const runs = 10_000

// taught is a ratio that is known exactly: what it multiplies has no spread by it.
func taught(i joint.Item, mean, deviation float64) map[joint.Item]demand.Ratio {
	return map[joint.Item]demand.Ratio{i: {Mean: mean, Deviation: deviation}}
}

func simulate(t *testing.T, in demand.Input, c demand.Chances, from, to measure.Week) demand.Simulated {
	t.Helper()
	in.Catalogue = catalogue(t)
	if c.Draws == 0 {
		c.Seed, c.Draws = 7, runs
	}
	s, err := demand.Simulate(in, c, from, to)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// fillet is equal fillets of 20 mm2, 1 m long: 160 g of weld metal, 8 rods.
func fillet(quantity int64) joint.Joint {
	j := weld("F1", w49, 1000, quantity, joint.Pass{Item: small})
	j.Preparation = joint.Fillet
	j.Sizes.Thickness, j.Sizes.Opening = joint.Size{}, joint.Size{}
	j.Sizes.Leg, j.Sizes.Leg2 = joint.Exactly(5*measure.Millimetre), joint.Exactly(8*measure.Millimetre)
	return j
}

// TestQuantilesOfClosedForms compares quantiles with those of the distributions
// that one source makes by itself. A quantile at p of n draws has the standard
// error sqrt(p(1-p)/n) over the density there; four of them are allowed, which
// one quantile in 16,000 exceeds, and the seed is fixed.
func TestQuantilesOfClosedForms(t *testing.T) {
	t.Parallel()
	normal := func(mean, s float64) (func(float64) float64, func(float64) float64) {
		return func(p float64) float64 { return mean + s*math.Sqrt2*math.Erfinv(2*p-1) },
			func(x float64) float64 {
				return math.Exp(-square((x-mean)/s)/2) / (s * math.Sqrt(2*math.Pi))
			}
	}
	many, manyDensity := normal(400*8*1.07, 8*0.21/math.Sqrt(18)*math.Sqrt(400))
	tests := []struct {
		name              string
		joint             joint.Joint
		ratio             map[joint.Item]demand.Ratio
		quantile, density func(float64) float64
	}{
		{"one fillet: triangular from its size to 21 % more", fillet(1), taught(small, 1, 0),
			func(p float64) float64 { return 8 * (1.21 - 0.21*math.Sqrt(1-p)) },
			func(x float64) float64 { return 2 * (1.21 - x/8) / (0.21 * 0.21) / 8 }},
		{"four hundred fillets: normal, the sum of triangular ones", fillet(400), taught(small, 1, 0), many, manyDensity},
		{"a ratio known to its own size: exponential, the gamma of shape 1",
			weld("B1", w49, 1000, 1, joint.Pass{Item: small}), taught(small, 1, 1),
			func(p float64) float64 { return -40 * math.Log(1-p) },
			func(x float64) float64 { return math.Exp(-x/40) / 40 }},
		{"a ratio of shape 2: the root of 1 - (1+x) e^-x is found by Newton",
			weld("B1", w49, 1000, 1, joint.Pass{Item: small}), taught(small, 1, math.Sqrt(0.5)),
			func(p float64) float64 {
				x := 2.0
				for range 50 {
					x -= (1 - (1+x)*math.Exp(-x) - p) / (x * math.Exp(-x))
				}
				return 20 * x
			},
			func(x float64) float64 { return x / 20 * math.Exp(-x/20) / 20 }},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := simulate(t, demand.Input{Joints: []joint.Joint{c.joint}}, demand.Chances{Ratios: c.ratio}, w49, w49)
			for _, p := range []float64{0.1, 0.5, 0.9, 0.95} {
				want := c.quantile(p)
				tolerance := 4 * math.Sqrt(p*(1-p)/runs) / c.density(want)
				if got := s.Weeks[0].Quantile(p); math.Abs(got-want) > tolerance {
					t.Errorf("quantile %v = %.3f, want %.3f within %.3f", p, got, want, tolerance)
				}
			}
		})
	}
}

func square(x float64) float64 { return x * x }

// TestLateJobsMoveWhole: a job is late as one, so that all its week's rods move.
// Of n draws the part that is late has the standard error sqrt(p(1-p)/n).
func TestLateJobsMoveWhole(t *testing.T) {
	t.Parallel()
	in := demand.Input{Joints: []joint.Joint{
		weld("B1", w49, 1000, 1, joint.Pass{Item: small}), weld("B2", w49, 500, 1, joint.Pass{Item: small}),
	}}
	c := demand.Chances{Late: []float64{0.7, 0.3}, Ratios: taught(small, 1, 0)}
	s := simulate(t, in, c, w49, w50)
	var late float64
	for d := range runs {
		switch now, next := s.Weeks[0].Draws[d], s.Weeks[1].Draws[d]; {
		case now == 0 && next == 60:
			late++
		case now != 60 || next != 0:
			t.Fatalf("draw %d: %v rods in time and %v late, want 60 in one of them", d, now, next)
		}
	}
	if tolerance := 4 * math.Sqrt(0.21/runs); math.Abs(late/runs-0.3) > tolerance {
		t.Errorf("late in %v of the draws, want 0.3 within %v", late/runs, tolerance)
	}
	if s.Weeks[0].P50 != 60 || s.Weeks[1].P50 != 0 || s.Weeks[1].P90 != 60 {
		t.Errorf("P50 and P90 = %+v, want 60 now, 0 and 60 next week", s.Weeks)
	}
}

// TestRepairsAreWholeWelds: one weld is repaired or not. The rate is drawn about
// 20 % and its mean is that but for what is cut off above 1, so 12 of 10 rods in
// the mean.
func TestRepairsAreWholeWelds(t *testing.T) {
	t.Parallel()
	in := demand.Input{Joints: []joint.Joint{weld("B1", w49, 250, 1, joint.Pass{Item: small})},
		Allowances: demand.Allowances{Repair: 0.2}}
	s := simulate(t, in, demand.Chances{Ratios: taught(small, 1, 0)}, w49, w49)
	for _, n := range s.Weeks[0].Draws {
		if n != 10 && n != 20 {
			t.Fatalf("%v rods, want 10 or 20", n)
		}
	}
	if got, tolerance := s.Weeks[0].Mean, 4*10*math.Sqrt(0.16/runs); math.Abs(got-12) > tolerance {
		t.Errorf("mean %v, want 12 within %v", got, tolerance)
	}
}

// TestUnplannedUseIsAdded: half of the weeks took 10 or 30 rods, so that half of
// the draws have none and the mean is 10.
func TestUnplannedUseIsAdded(t *testing.T) {
	t.Parallel()
	c := demand.Chances{Unplanned: map[joint.Item][]float64{small: {0, 10, 0, 30}}}
	s := simulate(t, demand.Input{}, c, w49, w50)
	if len(s.Weeks) != 2 || s.Free[small] != 10 {
		t.Fatalf("%d weeks, usual use %v, want 2 and 10", len(s.Weeks), s.Free[small])
	}
	// Mean square 0.5 (100+900)/2 = 250, so a variance of 150.
	if got, tolerance := s.Weeks[1].Mean, 4*math.Sqrt(150.0/runs); math.Abs(got-10) > tolerance {
		t.Errorf("mean %v, want 10 within %v", got, tolerance)
	}
	if s.Weeks[1].P90 != 30 {
		t.Errorf("P90 = %d, want 30", s.Weeks[1].P90)
	}
}

// TestOneSeedOneAnswer: a forecast can be repeated from its seed, and another
// seed is another sample.
func TestOneSeedOneAnswer(t *testing.T) {
	t.Parallel()
	in := demand.Input{Joints: []joint.Joint{fillet(3)}, Allowances: demand.Allowances{Repair: 0.1, Handling: 0.05}}
	c := demand.Chances{Seed: 11, Draws: 500, Late: []float64{0.8, 0.2}}
	a, b := simulate(t, in, c, w49, w50), simulate(t, in, c, w49, w50)
	if diff := cmp.Diff(a, b); diff != "" {
		t.Errorf("the same seed again (-first +second):\n%s", diff)
	}
	c.Seed = 12
	if b = simulate(t, in, c, w49, w50); cmp.Equal(a.Weeks[0].Draws, b.Weeks[0].Draws) {
		t.Error("another seed gave the same draws")
	}
}

// TestSharesOfTheSpread: of one weld of 20 mm2 the fit-up makes (0.21)^2/18 of
// its square and a ratio known to 0.1 makes (1.07 x 0.1)^2.
func TestSharesOfTheSpread(t *testing.T) {
	t.Parallel()
	s := simulate(t, demand.Input{Joints: []joint.Joint{fillet(1)}}, demand.Chances{Ratios: taught(small, 1, 0.1)}, w49, w49)
	fit, ratio := square(0.21)/18, square(0.107)
	by := s.By[small]
	if len(by) != 2 || by[0].Source != demand.Habit || math.Abs(by[0].Part-ratio/(fit+ratio)) > 0.01 {
		t.Errorf("shares = %v, want use against plan %.3f and fit-up", by, ratio/(fit+ratio))
	}
}

// TestExpectIsTheMeanOfTheDraws holds the closed form of the expected need
// against the draws, without lateness and with a ratio of 1.
func TestExpectIsTheMeanOfTheDraws(t *testing.T) {
	t.Parallel()
	in := demand.Input{Joints: []joint.Joint{fillet(4)}, Allowances: demand.Allowances{Handling: 0.5}, Catalogue: catalogue(t)}
	all, err := demand.Expect(in)
	if err != nil {
		t.Fatal(err)
	}
	want := 4 * 8 * 1.07 * 1.5
	if got := all[w49][small]; math.Abs(got-want) > 1e-9 {
		t.Errorf("Expect = %v, want %v", got, want)
	}
	s := simulate(t, in, demand.Chances{Ratios: taught(small, 1, 0)}, w49, w49)
	if got := s.Weeks[0].Mean; math.Abs(got-want) > 4*s.Weeks[0].Deviation/math.Sqrt(runs) {
		t.Errorf("mean of the draws %v, want %v", got, want)
	}
}

// TestWrongChancesAreRefused names what cannot be simulated.
func TestWrongChancesAreRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []demand.Chances{{}, {Draws: 1 << 30}, {Draws: 1, Late: []float64{0.5}}, {Draws: 1, Late: []float64{2, -1}}} {
		if _, err := demand.Simulate(demand.Input{Catalogue: catalogue(t)}, c, w49, w49); err == nil {
			t.Errorf("Simulate with %+v: no error", c)
		}
	}
}

// TestSimulationStartsWithItsFirstJoint: without a first week the weeks are those
// from the first joint on, with the same draws as if it were given; without joints
// the last week stands alone. A last week must be given.
func TestSimulationStartsWithItsFirstJoint(t *testing.T) {
	t.Parallel()
	later := fillet(1)
	later.ID, later.Week = "F2", w50
	in := demand.Input{Joints: []joint.Joint{later, fillet(1)}, Catalogue: catalogue(t)}
	c := demand.Chances{Seed: 7, Draws: 100, Unplanned: map[joint.Item][]float64{small: {10}}}
	w51 := w50.Next()
	if diff := cmp.Diff(simulate(t, in, c, w49, w51), simulate(t, in, c, measure.Week{}, w51)); diff != "" {
		t.Errorf("without a first week (-week of the first joint +none):\n%s", diff)
	}
	in.Joints = nil
	if s := simulate(t, in, c, measure.Week{}, w51); len(s.Weeks) != 1 || s.Weeks[0].Week != w51 || s.Weeks[0].P50 != 10 {
		t.Errorf("without joints: %+v, want 10 rods in week %s alone", s.Weeks, w51)
	}
	if _, err := demand.Simulate(in, c, w49, measure.Week{}); err == nil {
		t.Error("without a last week: no error")
	}
}

// TestQuantileTypeSeven is CV-105: type 7 of R gives 16.4, type 1 would give 20.
func TestQuantileTypeSeven(t *testing.T) {
	t.Parallel()
	errors := []float64{-3, -1, 0, 2, 4, 5, 7, 9, 12, 20}
	if got := demand.Quantile(errors, 0.95); math.Abs(got-16.4) > 1e-9 {
		t.Errorf("Quantile = %v, want 16.4", got)
	}
	if got := demand.Quantile(nil, 0.5); !math.IsNaN(got) {
		t.Errorf("Quantile of nothing = %v, want not a number", got)
	}
}

// TestFewWeeksAreDrawnTowardTheTable: the ratio moves from 1 toward 1.5 as weeks
// come in, its own uncertainty falls, and it never passes what was seen.
func TestFewWeeksAreDrawnTowardTheTable(t *testing.T) {
	t.Parallel()
	before := demand.LearnRatio(nil)
	if before != demand.UntaughtRatio {
		t.Fatalf("without weeks %+v, want the untaught one", before)
	}
	var weeks []demand.Week
	for n := range 40 {
		weeks = append(weeks, demand.Week{Expected: 100, Used: 150})
		after := demand.LearnRatio(weeks)
		if !(after.Mean > before.Mean && after.Mean < 1.5 && after.Deviation < before.Deviation) || after.Raw != 1.5 {
			t.Fatalf("after %d weeks %+v, before %+v", n+1, after, before)
		}
		before = after
	}
	if before.Mean < 1.45 {
		t.Errorf("after 40 weeks %v, want close to 1.5", before.Mean)
	}
}
