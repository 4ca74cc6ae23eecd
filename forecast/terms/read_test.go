package terms_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/forecast/joint"
	"ovenward/forecast/supply"
	"ovenward/forecast/terms"
	"ovenward/inventory/measure"
)

func read(t *testing.T, text string) terms.Terms {
	t.Helper()
	got, err := terms.Read(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// A rod of 30 g: 4.5 kg are 150, a kilogram is 33.3 of them, so that 4.20 a
// kilogram are 0.126 a rod, and 20 packs are 3000.
func TestTheTemplateIsAWholePolicy(t *testing.T) {
	t.Parallel()
	got := read(t, terms.Template())
	item, ok := got.For(joint.Item{Class: "e7018", Diameter: 3175 * measure.Millimetre / 1000})
	if !ok || got.Currency != "EUR" || len(got.Expected) != 1 {
		t.Fatalf("terms %+v: want the item, EUR and one delivery", got)
	}
	p, notes := item.Resolve(30 * measure.Gram)
	want := supply.Policy{Method: supply.BySilverMeal, LeadDays: 21, LeadSpread: 4, ReleaseDays: 2, Service: 0.95, OrderCost: 60, Hold: 0.2,
		Pack: 150, Minimum: 300, Breaks: []supply.Break{{Price: 0.126}, {From: 3000, Price: 0.117}}, ShelfWeeks: 104}
	near := cmp.Comparer(func(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 })
	if diff := cmp.Diff(want, p, near); diff != "" || len(notes) > 0 {
		t.Errorf("policy, notes %q (-want +got):\n%s", notes, diff)
	}
	if item.Varies != 0.15 {
		t.Errorf("a week's need varies by %v, want 0.15", item.Varies)
	}
	if a := item.Ask; a.LotClass != "C3" || a.Schedule != "H" || a.Certificate != "3.1" || !a.Actual || a.Spec("E7018") != "AWS A5.1" {
		t.Errorf("asks for %+v", a)
	}
}

// Wire and flux are pieces of a gram: a spool of 15 kg is 15,000, four are the
// least order, and 3.10 a kilogram are 0.0031 a gram.
func TestWireAndFluxAreBoughtByMass(t *testing.T) {
	t.Parallel()
	all := read(t, terms.Template())
	spool, known := all.For(joint.Item{Class: "E71T-1M", Diameter: 1143 * measure.Micrometre})
	if !known {
		t.Fatal("no wire in the template")
	}
	p, notes := spool.Resolve(measure.Mass(measure.Gram))
	if p.Pack != 15_000 || p.Minimum != 60_000 || len(p.Breaks) != 1 || math.Abs(p.Breaks[0].Price-0.0031) > 1e-12 || len(notes) > 0 {
		t.Errorf("policy %+v, notes %q: want packs of 15000 g, at least 60000, 0.0031 a gram", p, notes)
	}
	flux, known := all.For(joint.Item{Class: "F7A2-EM12K"})
	if !known {
		t.Fatal("no flux in the template")
	}
	if p, _ := flux.Resolve(measure.Mass(measure.Gram)); p.Pack != 25_000 {
		t.Errorf("a bag is %d g, want 25000", p.Pack)
	}
}

func TestWhatCannotBeTurnedIntoRodsIsSaid(t *testing.T) {
	t.Parallel()
	item, _ := read(t, terms.Template()).For(joint.Item{Class: "E7018", Diameter: measure.Inch / 8})
	p, notes := item.Resolve(0)
	if p.Method != supply.OneByOne || p.Pack != 0 || p.Breaks != nil || len(notes) < 3 || !strings.Contains(notes[0], "what one rod weighs is not known") {
		t.Errorf("policy %+v, notes %q: want lot for lot, no pack, no price, and why", p, notes)
	}
}

// Each file is wrong in one place, and the error names it.
func TestWhatIsWrongIsNamed(t *testing.T) {
	t.Parallel()
	const item = "[[item]]\nclass = \"E7018\"\nsize = \"1/8 in\"\n"
	for _, c := range []struct{ text, want string }{
		{"colour = 3", "unknown key colour"},
		{"[[supplier]]\nlead = \"3 days\"", "has no name"},
		{"[[supplier]]\nname = \"A\"\nlead = \"soon\"", `supplier A: lead: "soon": write 21 days or 3 weeks`},
		{item + "supplier = \"B\"", `supplier "B" is not among those named above`},
		{item + "policy = \"guess\"", `policy "guess"`},
		{item + "policy = \"eoq\"", "policy eoq needs order_cost"},
		{item + "policy = \"s-S\"\nat = \"5 rods\"", "policy s-S needs at and up_to"},
		{item + "policy = \"s-S\"\nat = \"5 rods\"\nup_to = \"5 rods\"", "needs up_to above at"},
		{item + "policy = \"r-Q\"", "policy r-Q needs at and quantity"},
		{item + "policy = \"newsvendor\"", "needs over and under"},
		{item + "policy = \"period\"", "needs weeks"},
		{item + "pack = \"some\"", `"some" is no amount`},
		{item + "pack = \"0 rods\"", "above zero"},
		{item + "pack = \"1.5 rods\"", "write whole rods"},
		{item + "pack = \"2 packs\"", "write what is in one"},
		{item + "price = \"4.20 EUR\"", "write what it is the price of"},
		{item + "price = \"4.20 EUR/kg\"\nover = \"1 USD\"", "all in one currency"},
		{item + "breaks = [{from = \"2 packs\", price = \"1 EUR/kg\"}]", "write the price below them"},
		{item + "price = \"1 EUR/kg\"\nbreaks = [{from = \"9 kg\", price = \"1 EUR/kg\"}, {from = \"8 kg\", price = \"1 EUR/kg\"}]", "from the least on"},
		{item + "service = \"100 %\"", "no stock makes it certain"},
		{item + "service = \"high\"", "write a percentage"},
		{item + "lot_class = \"S3\"", "those of E7018 begin with C"},
		{item + "lot_class = \"C9\"", "write C1 to C5"},
		{item + "schedule = \"Z\"", "write 1 to 6 or F to K"},
		{item + "schedule = \"k\"", "write the tests"},
		{item + "certificate = \"3.9\"", "certificate"},
		{item + item, "is there twice"},
		{"[[item]]\nclass = \"E7018\"", "write class and size"},
		{"[[item]]\nclass = \"EM12K\"\nsize = \"4 mm\"\npack = \"20 rods\"", "bought by mass"},
		{"[[item]]\nclass = \"EM12K\"\nsize = \"4 mm\"\nprice = \"1 EUR/rod\"", "bought by mass"},
		{"[[item]]\nclass = \"F7A2-EM12K\"\nsize = \"4 mm\"", "a flux has none"},
		{"[[expected]]\norder = \"P1\"\nclass = \"EM12K\"\nsize = \"4 mm\"\ndue = \"2026-12-04\"\nquantity = \"9 rods\"", "bought by mass"},
		{"[[expected]]\norder = \"P1\"\nclass = \"E7018\"\nsize = \"1/8 in\"", "write order, quantity and due"},
		{"[[expected", "what the buyer sets"},
	} {
		if _, err := terms.Read(strings.NewReader(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.text, err, c.want)
		}
	}
}

// FuzzRead holds that no text makes the reader fail, and that what it reads can
// be turned into a policy.
func FuzzRead(f *testing.F) {
	f.Add(terms.Template())
	f.Add("[[item]]\nclass=\"E7018\"\nsize=\"1/8 in\"\npack=\"999999999 lb\"\nshelf=\"9999 years\"")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := terms.Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, i := range got.Items {
			for _, piece := range []measure.Mass{0, 30 * measure.Gram} {
				if p, _ := i.Resolve(piece); p.Pack < 0 || p.Minimum < 0 || p.ShelfWeeks < 0 {
					t.Errorf("%+v", p)
				}
			}
		}
	})
}
