package joint_test

import (
	"strings"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

func catalogue(t testing.TB) *joint.Catalogue {
	t.Helper()
	c, err := joint.DefaultCatalogue()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// named is a joint of an inch that names a preparation.
func named(name string, change func(*joint.Sizes)) joint.Joint {
	return sized(joint.Preparation(name), func(s *joint.Sizes) {
		s.Thickness = joint.Exactly(inch)
		change(s)
	})
}

// TestFitUpLimits holds the areas of an inch of plate as drawn and at the limits
// of fit-up of AWS D1.1:2020 Figure 5.1: -19 % and +62 % of the metal, all of it
// the same drawing. Exact mathematics from the confirmed tolerances; the angle's
// of B-U2a is from memory.
func TestFitUpLimits(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name             string
		low, drawn, high float64 // square inches
	}{
		{"TC-U4a", 0.6071, 0.7500, 1.2141},
		{"B-U2a", 0.5515, 0.6642, 1.0206},
	}
	for _, tt := range tests {
		r, err := catalogue(t).Resolve(named(tt.name, func(s *joint.Sizes) { s.Angle = 45 }))
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			what  string
			joint joint.Joint
			want  float64
		}{{"narrow", r.Low, tt.low}, {"as drawn", r.Joint, tt.drawn}, {"wide", r.High, tt.high}} {
			if got := weld(t, c.joint).Section.Groove().SquareInches(); !within(got, c.want, 0.001) {
				t.Errorf("%s %s: %.4f in2, want %.4f", tt.name, c.what, got, c.want)
			}
		}
	}
}

// TestNamesOfTheCatalogueCompute holds that every option of every preparation is
// a joint, and that fit-up spreads around the drawing.
func TestNamesOfTheCatalogueCompute(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	if len(c.Names()) != 33 {
		t.Errorf("%d names, want the 23 of the structural code and 10 others", len(c.Names()))
	}
	for _, name := range c.Names() {
		n, _ := c.Find(name)
		for _, o := range n.Options {
			r, err := c.Resolve(sized(joint.Preparation(strings.ToUpper(name)), func(s *joint.Sizes) {
				s.Thickness, s.Opening, s.Angle = joint.Exactly(2*inch), joint.Exactly(o.Opening.To), o.Angle
				if n.Root != (joint.Range{}) {
					s.RootFace = joint.Exactly(n.Root.To)
				}
				if n.Gouge {
					s.Gouge = joint.Exactly(mm(8))
				}
			}))
			if err != nil {
				t.Errorf("%s, %v: %v", name, o, err)
				continue
			}
			if len(r.Differs) > 0 {
				t.Errorf("%s, %v differs from itself: %v", name, o, r.Differs)
			}
			low, drawn, high := weld(t, r.Low).Volume, weld(t, r.Joint).Volume, weld(t, r.High).Volume
			if low > drawn || high < drawn {
				t.Errorf("%s, %v: %v to %v does not hold %v", name, o, low, high, drawn)
			}
		}
	}
}

// TestJointMustChoose holds that nothing is guessed where the code leaves a
// choice, and that the joint's own figures count and are said.
func TestJointMustChoose(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	_, err := c.Resolve(named("TC-U4a", func(*joint.Sizes) {}))
	wantUncomputed(t, err, joint.MissingSize, "angle")
	_, err = c.Resolve(named("B-U4b", func(s *joint.Sizes) { s.Gouge = joint.Exactly(mm(6)) }))
	wantUncomputed(t, err, joint.MissingSize, "opening")
	_, err = c.Resolve(named("B-U4b", func(s *joint.Sizes) { s.Opening, s.RootFace = joint.Exactly(0), joint.Exactly(0) }))
	wantUncomputed(t, err, joint.MissingSize, "gouge")

	r, err := c.Resolve(named("tc-u4a", func(s *joint.Sizes) { s.Opening = joint.Exactly(inches(0.375)) }))
	if err != nil || r.Joint.Sizes.Angle != 30 {
		t.Errorf("an opening of 3/8 in: angle %v, %v, want 30 deg", r.Joint.Sizes.Angle, err)
	}
	r, err = c.Resolve(named("TC-U4a", func(s *joint.Sizes) { s.Opening, s.Angle = joint.Exactly(inches(0.3125)), 45 }))
	if err != nil || len(r.Differs) != 1 || r.Differs[0].Field != "opening" {
		t.Errorf("an opening of 5/16 in: differs in %v, %v, want the opening", r.Differs, err)
	}
	if got := r.Joint.Sizes.Opening.Length(); got != inches(0.3125) {
		t.Errorf("opening = %v, want the joint's own", got)
	}
	plain := named(string(joint.SingleV), func(*joint.Sizes) {})
	if r, err := c.Resolve(plain); err != nil || r.Named != nil || r.Joint.Sizes != plain.Sizes {
		t.Errorf("a shape resolved to %v, %v, want itself", r.Joint, err)
	}
}

const goodRow = `[[preparation]]
name = "S-1"
process = "SMAW"
shape = "single V"
backing = true
options = [{ opening = ["6 mm"], angle = 45, positions = "all" }]
source = "shop standard 4"
status = "shop"
`

// TestRowsThatCannotBe names the row and what is wrong.
func TestRowsThatCannotBe(t *testing.T) {
	t.Parallel()
	if _, err := joint.ReadCatalogue(strings.NewReader(goodRow)); err != nil {
		t.Fatal(err)
	}
	for change, want := range map[[2]string]string{
		{`name = "S-1"`, `name = "fillet"`}:                "name",
		{`"single V"`, `"fillet"`}:                         "no walls",
		{`"single V"`, `"single U"`}:                       "radius",
		{`"6 mm"`, `"6"`}:                                  "opening",
		{`"6 mm"`, `"6 mm", "3 mm"`}:                       "below the least",
		{`"6 mm"`, `"-6 mm"`}:                              "opening",
		{`angle = 45`, `angle = 0`}:                        "angle",
		{`angle = 45`, `angle = 190`}:                      "angle",
		{`backing = true`, "backing = true\ngouge = true"}: "exclude",
		{`"shop standard 4"`, `""`}:                        "source",
		{`"shop"`, `"sure"`}:                               "status",
		{`backing`, `baking`}:                              "baking",
		{`status = "shop"`, "status = \"shop\"\nfit_up = { angle = [5, 10] }"}: "fit_up.angle",
	} {
		text := strings.Replace(goodRow, change[0], change[1], 1)
		if _, err := joint.ReadCatalogue(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: error = %v, want one that names %q", change[1], err, want)
		}
	}
	if _, err := joint.ReadCatalogue(strings.NewReader(goodRow + strings.Replace(goodRow, "S-1", "s-1", 1))); err == nil {
		t.Error("a name that is there twice has no error")
	}
}

// TestShopsPreparationsLieOverTheShipped holds that a shop's row replaces the one
// of its name, in any case of letters, that a new one is added, and that neither
// changes the catalogue underneath.
func TestShopsPreparationsLieOverTheShipped(t *testing.T) {
	t.Parallel()
	shipped, err := joint.DefaultCatalogue()
	if err != nil {
		t.Fatal(err)
	}
	own := strings.Replace(goodRow, "S-1", "tc-u4A", 1) + strings.Replace(goodRow, "S-1", "S-2", 1)
	shop, err := joint.ReadCatalogue(strings.NewReader(own))
	if err != nil {
		t.Fatal(err)
	}
	all := shipped.Over(shop)
	if n, ok := all.Find("TC-U4a"); !ok || n.Source != "shop standard 4" {
		t.Errorf("TC-U4a is not the shop's: %+v", n)
	}
	if n, ok := shipped.Find("TC-U4a"); !ok || n.Status != joint.Confirmed {
		t.Errorf("the shipped TC-U4a was changed: %+v", n)
	}
	if got, want := len(all.Names()), len(shipped.Names())+1; got != want || all.Names()[want-1] != "S-2" {
		t.Errorf("%d names, want %d with S-2 last", got, want)
	}
}

func FuzzReadCatalogue(f *testing.F) {
	f.Add(goodRow)
	f.Add("version = 1")
	f.Add(strings.Replace(goodRow, "6 mm", "1/4 in", 1))
	f.Fuzz(func(t *testing.T, text string) {
		c, err := joint.ReadCatalogue(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, name := range c.Names() {
			if _, err := c.Resolve(joint.Joint{Preparation: joint.Preparation(name),
				Sizes: joint.Sizes{Thickness: joint.Exactly(measure.Length(measure.Inch))}}); err != nil {
				_ = err.Error()
			}
		}
	})
}
