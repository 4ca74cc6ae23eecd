package demand_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// someJoints draws joints that can be computed, over three weeks and two items.
func someJoints(t *rapid.T) []joint.Joint {
	one := rapid.Custom(func(t *rapid.T) joint.Joint {
		week := rapid.SampledFrom([]measure.Week{w49, w50, w01}).Draw(t, "week")
		share := rapid.Float64Range(0.05, 0.95).Draw(t, "share")
		length := rapid.Int64Range(1, 5000).Draw(t, "length")
		return weld("H1", week, length, rapid.Int64Range(1, 20).Draw(t, "quantity"),
			joint.Pass{Item: small, Share: share}, joint.Pass{Item: large})
	})
	return rapid.SliceOfN(one, 1, 30).Draw(t, "joints")
}

// TestNoMetalIsLostOrInvented holds that what the lines deposit is the volume of
// the joints times density, and that pieces exceed what is needed by less than
// one for each line.
func TestNoMetalIsLostOrInvented(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		joints := someJoints(t)
		f, err := demand.Make(demand.Input{Joints: joints, Catalogue: c})
		if err != nil {
			t.Fatal(err)
		}
		var want float64 // grams: 10 x 10 mm at 8 g/cm3
		for _, j := range joints {
			want += 0.8 * j.Sizes.Length.Length().Millimetres() * float64(j.Quantity)
		}
		var got float64
		for _, l := range f.Lines {
			got += l.Deposited.Grams()
			deposit := map[joint.Item]float64{small: 20, large: 40}[l.Item]
			if over := float64(l.Pieces) - l.Deposited.Grams()/deposit; over < -1e-6 || over >= 1+1e-6 {
				t.Errorf("%v %v: %d pieces are %v more than needed", l.Week, l.Item, l.Pieces, over)
			}
		}
		if diff := got - want; diff > 1e-6*want || diff < -1e-6*want {
			t.Errorf("lines deposit %v g, want %v", got, want)
		}
	})
}

// TestOrderOfThePlanDoesNotMatter holds that the same joints in another order
// need the same pieces.
func TestOrderOfThePlanDoesNotMatter(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		joints := someJoints(t)
		other := rapid.Permutation(joints).Draw(t, "order")
		a, errA := demand.Make(demand.Input{Joints: joints, Catalogue: c})
		b, errB := demand.Make(demand.Input{Joints: other, Catalogue: c})
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if len(a.Lines) != len(b.Lines) {
			t.Fatalf("%d lines in one order, %d in the other", len(a.Lines), len(b.Lines))
		}
		for i := range a.Lines {
			x, y := a.Lines[i], b.Lines[i]
			if x.Pieces != y.Pieces || x.Item != y.Item || x.Week != y.Week {
				t.Errorf("line %d = %+v in one order, %+v in the other", i, x, y)
			}
		}
	})
}

// TestMoreJointsNeverNeedLess holds that adding a joint takes no piece away.
func TestMoreJointsNeverNeedLess(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		joints := someJoints(t)
		all, err := demand.Make(demand.Input{Joints: joints, Catalogue: c})
		if err != nil {
			t.Fatal(err)
		}
		fewer, err := demand.Make(demand.Input{Joints: joints[1:], Catalogue: c})
		if err != nil {
			t.Fatal(err)
		}
		pieces := make(map[joint.Item]int64)
		for _, i := range all.Items {
			pieces[i.Rod.Item] = i.Pieces
		}
		for _, i := range fewer.Items {
			if i.Pieces > pieces[i.Rod.Item] {
				t.Errorf("%v: %d pieces without the first joint, %d with it", i.Rod.Item, i.Pieces, pieces[i.Rod.Item])
			}
		}
	})
}
