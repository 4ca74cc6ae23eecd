package demand_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

const inch = measure.Length(measure.Inch)

// The items and weeks of the tests.
var (
	small = joint.Item{Class: "E7018", Diameter: inch / 8}
	large = joint.Item{Class: "E7018", Diameter: 5 * inch / 32}
	w49   = measure.Week{Year: 2026, Number: 49}
	w50   = measure.Week{Year: 2026, Number: 50}
	w01   = measure.Week{Year: 2027, Number: 1}
)

// tables are made for round numbers: at 8 g/cm3 the rods deposit 20 g and 40 g
// and weigh 40 g and 80 g. The shares of the covering are never used.
const tables = `
[[density]]
class = "E7018"
value = "8 g/cm3"
source = "round number"
status = "shop"
[[rod]]
class = "E7018"
diameter = "1/8 in"
length = "400 mm"
stub = "80 mm"
source = "round number"
status = "shop"
[[rod]]
class = "E7018"
diameter = "5/32 in"
length = "400 mm"
stub = "80 mm"
source = "round number"
status = "memory"
[[efficiency]]
class = "E7018"
diameter = "1/8 in"
value = 0.625
basis = "rod-without-stub"
source = "round number"
status = "shop"
[[efficiency]]
class = "E7018"
diameter = "5/32 in"
value = 0.625
basis = "rod-without-stub"
source = "round number"
status = "shop"
[[piece]]
class = "E7018"
diameter = "1/8 in"
mass = "40 g"
source = "round number"
status = "shop"
[[piece]]
class = "E7018"
diameter = "5/32 in"
mass = "80 g"
source = "round number"
status = "shop"
`

func catalogue(t testing.TB) *metal.Catalogue {
	t.Helper()
	c, err := metal.Read(strings.NewReader(tables))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// weld is a joint of 10 mm x 10 mm and the given length: 0.8 g of weld metal to
// the millimetre.
func weld(id string, week measure.Week, mm int64, quantity int64, passes ...joint.Pass) joint.Joint {
	ten := joint.Exactly(10 * measure.Millimetre)
	length := joint.Exactly(measure.Length(mm) * measure.Millimetre)
	return joint.Joint{
		Job: "Barge 12", ID: id, Week: week, Preparation: joint.SquareButt, Quantity: quantity, Passes: passes,
		Sizes: joint.Sizes{Thickness: ten, Opening: ten, Length: length},
	}
}

func forecast(t testing.TB, in demand.Input) demand.Forecast {
	t.Helper()
	if in.Catalogue == nil {
		in.Catalogue = catalogue(t)
	}
	f, err := demand.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestWeeklyPieces works a plan by hand. B1 and B2 need 12.4 and 12.4 rods of
// 1/8 in in week 49: 25 together, not 13 each.
func TestWeeklyPieces(t *testing.T) {
	t.Parallel()
	f := forecast(t, demand.Input{Joints: []joint.Joint{
		// 2400 g: 600 g in 1/8 in and 1800 g in 5/32 in.
		weld("B3", w50, 1000, 3, joint.Pass{Item: small, Share: 0.25}, joint.Pass{Item: large}),
		weld("B1", w49, 310, 1, joint.Pass{Item: small}), // 248 g
		weld("B2", w49, 310, 1, joint.Pass{Item: small}),
	}})
	want := []demand.Line{
		{Week: w49, Item: small, Pieces: 25, Deposited: 496 * measure.Gram, Purchased: 992 * measure.Gram},
		{Week: w50, Item: small, Pieces: 30, Deposited: 600 * measure.Gram, Purchased: 1200 * measure.Gram},
		{Week: w50, Item: large, Pieces: 45, Deposited: 1800 * measure.Gram, Purchased: 3600 * measure.Gram},
	}
	if diff := cmp.Diff(f.Lines, want); diff != "" {
		t.Errorf("Lines (-got +want):\n%s", diff)
	}
	if len(f.Items) != 2 || f.Items[0].Pieces != 55 || f.Items[1].Pieces != 45 {
		t.Errorf("Items = %+v, want 55 and 45 pieces", f.Items)
	}
	if f.Compared || f.Items[0].Short != 0 {
		t.Errorf("stock was compared though none was given")
	}
	if f.Computed != 3 || len(f.NotComputed) != 0 {
		t.Errorf("computed %d, not computed %d, want 3 and 0", f.Computed, len(f.NotComputed))
	}
}

// TestWholeRodsAreNotRoundedUp adds joints up that take 0.02 rods each, which is
// no binary number: fifty of them are one rod, not two because of the last digit
// of a sum.
func TestWholeRodsAreNotRoundedUp(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	var joints []joint.Joint
	for want := int64(1); want <= 100; want++ {
		for range 50 {
			joints = append(joints, weld("B1", w49, 1, 1, joint.Pass{Item: small, Share: 0.5}, joint.Pass{Item: large}))
		}
		f := forecast(t, demand.Input{Joints: joints, Catalogue: c})
		if got := f.Lines[0].Pieces; got != want {
			t.Errorf("%d joints: pieces = %d, want %d", len(joints), got, want)
		}
	}
}

// TestStockRunsDownWeekByWeek holds that the first short week is the first that
// the stock does not cover, and that stock under another name of the size counts.
func TestStockRunsDownWeekByWeek(t *testing.T) {
	t.Parallel()
	joints := []joint.Joint{
		weld("C3", w01, 500, 1, joint.Pass{Item: small}), // 20 rods
		weld("C1", w49, 500, 1, joint.Pass{Item: small}),
		weld("C2", w50, 500, 1, joint.Pass{Item: joint.Item{Class: "E7018", Diameter: 3_200_000}}),
	}
	tests := []struct {
		name  string
		stock map[joint.Item]int64
		short int64
		first measure.Week
	}{
		{"enough", map[joint.Item]int64{small: 60}, 0, measure.Week{}},
		{"enough, partly marked 3.2 mm",
			map[joint.Item]int64{small: 50, {Class: "E7018", Diameter: 3_200_000}: 10}, 0, measure.Week{}},
		{"one short", map[joint.Item]int64{small: 59}, 1, w01},
		{"lasts a week", map[joint.Item]int64{small: 20}, 40, w50},
		{"other items do not help", map[joint.Item]int64{large: 500}, 60, w49},
		{"empty shelf", map[joint.Item]int64{}, 60, w49},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			f := forecast(t, demand.Input{Joints: joints, Stock: tt.stock})
			if len(f.Items) != 1 {
				t.Fatalf("Items has %d, want 1: 3.2 mm and 1/8 in are one", len(f.Items))
			}
			if got := f.Items[0]; got.Short != tt.short || got.FirstShort != tt.first {
				t.Errorf("short by %d from %v, want %d from %v", got.Short, got.FirstShort, tt.short, tt.first)
			}
		})
	}
}

// TestNothingIsDropped holds that a joint that cannot be computed is listed with
// its reason, and that none of its metal is in a total.
func TestNothingIsDropped(t *testing.T) {
	t.Parallel()
	stainless := joint.Item{Class: "E309L-16", Diameter: inch / 8}
	noOpening := weld("D3", w49, 500, 1, joint.Pass{Item: small})
	noOpening.Sizes.Opening = joint.Size{}
	strange := weld("D4", w49, 500, 1, joint.Pass{Item: small})
	strange.Preparation = "dovetail"
	f := forecast(t, demand.Input{Joints: []joint.Joint{
		weld("D1", w49, 500, 1, joint.Pass{Item: small}),
		weld("D2", w49, 500, 1, joint.Pass{Item: small, Share: 0.5}, joint.Pass{Item: stainless}),
		noOpening,
		strange,
		weld("D5", w49, 500, 1, joint.Pass{Item: small, Share: 0.5}),
		weld("D6", w49, 500, 0, joint.Pass{Item: small}),
		weld("D7", w49, 50_000_000, 1_000_000, joint.Pass{Item: small}), // 40 million tonnes
		weld("D8", w49, 500, 1),
	}})
	type listed struct {
		id     string
		reason joint.Reason
		field  string
	}
	var got []listed
	for _, n := range f.NotComputed {
		got = append(got, listed{n.Joint.ID, n.Err.Reason, n.Err.Field})
	}
	want := []listed{
		{"D2", joint.UnknownItem, "item2"},
		{"D3", joint.MissingSize, "opening"},
		{"D4", joint.NoGeometry, "prep"},
		{"D5", joint.BadSplit, "item1"},
		{"D6", joint.ImpossibleSize, "quantity"},
		{"D7", joint.ImpossibleSize, "length"},
		{"D8", joint.UnknownItem, "item1"},
	}
	if diff := cmp.Diff(got, want, cmp.AllowUnexported(listed{})); diff != "" {
		t.Errorf("NotComputed (-got +want):\n%s", diff)
	}
	if len(f.Lines) != 1 || f.Lines[0].Pieces != 20 {
		t.Errorf("Lines = %+v, want the 20 pieces of D1 alone", f.Lines)
	}
}

// TestAllowancesMultiply holds that 4 % of repair and 5 % of handling make 9.2 %
// and that the notes say so.
func TestAllowancesMultiply(t *testing.T) {
	t.Parallel()
	f := forecast(t, demand.Input{
		Joints:     []joint.Joint{weld("E1", w49, 1000, 1, joint.Pass{Item: small})},
		Allowances: demand.Allowances{Repair: 0.04, Handling: 0.05},
	})
	if got, want := f.Lines[0].Deposited.Grams(), 800*1.092; math.Abs(got-want) > 1e-3 {
		t.Errorf("Deposited = %v g, want %v", got, want)
	}
	wantNote(t, f, "allowances: repair 4 %, handling 5 %")
}

func TestInputThatIsWrongAsAWhole(t *testing.T) {
	t.Parallel()
	for name, in := range map[string]demand.Input{
		"repair below zero":     {Allowances: demand.Allowances{Repair: -0.1}},
		"handling in per cent":  {Allowances: demand.Allowances{Handling: 5}},
		"allowance of no value": {Allowances: demand.Allowances{Repair: math.NaN()}},
		"stock below zero":      {Stock: map[joint.Item]int64{small: -1}},
	} {
		in.Catalogue = catalogue(t)
		if _, err := demand.Make(in); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func wantNote(t *testing.T, f demand.Forecast, says string) {
	t.Helper()
	for _, n := range f.Notes {
		if strings.Contains(n, says) {
			return
		}
	}
	t.Errorf("no note says %q; notes are\n%s", says, strings.Join(f.Notes, "\n"))
}

// TestNotesSayWhatTheNumbersStandOn holds that density, efficiency with its
// basis, stub, rounding, allowances, the origin of caps and unconfirmed rows are
// shown with the result.
func TestNotesSayWhatTheNumbersStandOn(t *testing.T) {
	t.Parallel()
	v := weld("F2", w49, 500, 1, joint.Pass{Item: large})
	v.Preparation, v.Sizes.Angle, v.Sizes.Backing = joint.SingleV, 60, true
	v.Sizes.CapHeight = joint.Exactly(2 * measure.Millimetre)
	f := forecast(t, demand.Input{Joints: []joint.Joint{
		weld("F1", w49, 500, 1, joint.Pass{Item: joint.Item{Class: "E7018-1H4R", Diameter: inch / 8}}), v,
	}})
	wantNote(t, f, "rounded up once for each week and item, not for each joint")
	wantNote(t, f, "allowances: repair 0 %, handling 0 %")
	wantNote(t, f, "E7018-1 H4R 1/8 in: density 8 g/cm3; efficiency 62.5 % rod-without-stub; "+
		"rod 400 mm, stub 80 mm; piece 40 g as received")
	wantNote(t, f, "E7018-1 H4R 1/8 in: rows of E7018")
	wantNote(t, f, "without cap_height, filled flush: 1")
	wantNote(t, f, "without cap_width, the cap as wide as the groove, no overlap: 1")
	wantNote(t, f, "from memory, confirm it: rod of E7018 5/32 in")
	if strings.Contains(strings.Join(f.Notes, "\n"), "densities differ") {
		t.Errorf("notes say that densities differ, and there is one")
	}
}

// TestMixedDensitiesAreSaid holds that 0.283 lb/in3 and 7.85 g/cm3 are never
// mixed in silence.
func TestMixedDensitiesAreSaid(t *testing.T) {
	t.Parallel()
	iso, err := metal.Read(strings.NewReader(`
[[density]]
class = "E6010"
value = "7.85 g/cm3"
source = "maker's sheet"
status = "shop"
`))
	if err != nil {
		t.Fatal(err)
	}
	c, err := metal.Default()
	if err != nil {
		t.Fatal(err)
	}
	f := forecast(t, demand.Input{Catalogue: c.Over(iso), Joints: []joint.Joint{
		weld("G1", w49, 500, 1, joint.Pass{Item: small}),
		weld("G2", w49, 500, 1, joint.Pass{Item: joint.Item{Class: "E6010", Diameter: inch / 8}}),
	}})
	wantNote(t, f, "densities differ: 7.85 g/cm3 for E6010 1/8 in, 0.283 lb/in3 for E7018 1/8 in")
}
