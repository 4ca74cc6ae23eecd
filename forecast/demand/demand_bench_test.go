package demand_test

import (
	"testing"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// manyJoints makes a plan of n joints over a year: fillets, backed V with two
// sizes of rod, and pipe butts, one third each.
func manyJoints(n int) []joint.Joint {
	joints := make([]joint.Joint, 0, n)
	week := measure.Week{Year: 2026, Number: 1}
	for i := range n {
		if i%(n/52+1) == n/52 {
			week = week.Next()
		}
		mm := measure.Length(measure.Millimetre)
		j := joint.Joint{Job: "Barge 12", ID: "J", Week: week, Quantity: int64(1 + i%5)}
		switch i % 3 {
		case 0:
			j.Preparation = joint.Fillet
			leg := mm * measure.Length(4+i%9)
			j.Sizes = joint.Sizes{Leg: joint.Exactly(leg), Length: joint.Exactly(3 * measure.Metre)}
			j.Passes = []joint.Pass{{Item: small}}
		case 1:
			j.Preparation = joint.SingleV
			j.Sizes = joint.Sizes{
				Thickness: joint.Exactly(mm * measure.Length(20+i%20)), Opening: joint.Exactly(6 * mm), Angle: 45,
				Backing: true, CapHeight: joint.Exactly(2 * mm), Length: joint.Exactly(3 * measure.Metre),
			}
			j.Passes = []joint.Pass{{Item: small, Beads: 4}, {Item: large}}
		default:
			j.Preparation = joint.SingleV
			j.Sizes = joint.Sizes{
				Opening: joint.Exactly(3 * mm), RootFace: joint.Exactly(mm), Angle: 75,
				Outside: joint.Exactly(mm * measure.Length(100+i%400)), Wall: joint.Exactly(8 * mm),
			}
			j.Passes = []joint.Pass{{Item: small, Share: 0.3}, {Item: large, Share: 0.7}}
		}
		joints = append(joints, j)
	}
	return joints
}

// BenchmarkWeeklyPieces computes 100,000 joints to pieces by week and item.
func BenchmarkWeeklyPieces(b *testing.B) {
	const n = 100_000
	c, err := metal.Default()
	if err != nil {
		b.Fatal(err)
	}
	in := demand.Input{Joints: manyJoints(n), Catalogue: c, Stock: map[joint.Item]int64{small: 1000}}
	for b.Loop() {
		f, err := demand.Make(in)
		if err != nil || f.Computed != n {
			b.Fatalf("computed %d of %d: %v", f.Computed, n, err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/joint")
}

// BenchmarkSimulate draws 1,000 joints over a year 10,000 times.
func BenchmarkSimulate(b *testing.B) {
	c, err := metal.Default()
	if err != nil {
		b.Fatal(err)
	}
	in := demand.Input{Joints: manyJoints(1000), Catalogue: c, Allowances: demand.Allowances{Repair: 0.02, Handling: 0.03}}
	chances := demand.Chances{Seed: 1, Draws: 10_000, Late: demand.OnTime()}
	from := measure.Week{Year: 2026, Number: 1}
	for b.Loop() {
		if _, err := demand.Simulate(in, chances, from, measure.Week{Year: 2026, Number: 53}); err != nil {
			b.Fatal(err)
		}
	}
}
