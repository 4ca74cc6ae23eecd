package picture_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/picture"
	"ovenward/inventory/measure"
)

const inch = measure.Length(measure.Inch)

// inchV is a 1 in V on backing, 45 degrees, opening 1/4 in, cap 1/8 in, its first
// two layers in 1/8 in rods and the others in 5/32 in.
func inchV(t *testing.T) picture.Groove {
	t.Helper()
	j := joint.Joint{Preparation: joint.SingleV, Quantity: 1, Sizes: joint.Sizes{
		Thickness: joint.Exactly(inch), Opening: joint.Exactly(inch / 4), Angle: 45, Backing: true,
		CapHeight: joint.Exactly(inch / 8), Length: joint.Exactly(10 * inch)},
		Passes: []joint.Pass{{Item: joint.Item{Class: "E7018", Diameter: inch / 8}, Layers: 2},
			{Item: joint.Item{Class: "E7018", Diameter: 5 * inch / 32}}}}
	c, err := metal.Default()
	if err != nil {
		t.Fatal(err)
	}
	f, err := metal.Fill(j, c)
	if err != nil {
		t.Fatal(err)
	}
	g := picture.Groove{Title: "1 in V", Says: []string{"opening 1/4 in"}, Section: f.Weld.Section, Backing: true,
		Layers: metal.Build(f, j.Passes)}
	for _, r := range f.Rods {
		g.Rods = append(g.Rods, r.Item.String())
	}
	return g
}

// TestInchVIsDrawn holds the drawing of a joint of common practice, 22 beads within
// three in six layers: each layer a line, the cap on top, wider from line to line,
// every bead once.
func TestInchVIsDrawn(t *testing.T) {
	t.Parallel()
	g := inchV(t)
	if n := g.Beads(); n < 19 || n > 25 || len(g.Layers) != 6 {
		t.Fatalf("%d beads in %d layers, want 22 within three in 6", n, len(g.Layers))
	}
	text := g.Text()
	var widths []int
	for line := range strings.Lines(text) {
		if left, right := strings.Index(line, `\`), strings.Index(line, "/ "); left >= 0 && right > left {
			widths = append(widths, right-left)
		}
	}
	if len(widths) != 6 {
		t.Fatalf("%d layers are drawn, want 6:\n%s", len(widths), text)
	}
	for i := 1; i < len(widths); i++ {
		if widths[i] > widths[i-1] {
			t.Errorf("line %d is wider than the one above it:\n%s", i+1, text)
		}
	}
	for _, says := range []string{" 1 2 ", "2 beads of E7018 1/8 in", "of E7018 5/32 in", "====", "backing", "opening 1/4 in"} {
		if !strings.Contains(text, says) {
			t.Errorf("the drawing does not say %q:\n%s", says, text)
		}
	}
}

// TestGroovePictureHasEveryBead reads the picture as XML and counts its beads.
func TestGroovePictureHasEveryBead(t *testing.T) {
	t.Parallel()
	g := inchV(t)
	g.Title = "<V & co>"
	beads, plates := int64(0), 0
	for d := xml.NewDecoder(bytes.NewReader(g.SVG())); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "ellipse" {
			beads++
		} else if ok && e.Name.Local == "polygon" {
			plates++
		}
	}
	if beads != g.Beads() || plates != 2 {
		t.Errorf("%d beads and %d plates are drawn, want %d and 2", beads, plates, g.Beads())
	}
}

// TestFilletHasNoLayers holds that what lies between no two faces is said, not
// drawn.
func TestFilletHasNoLayers(t *testing.T) {
	t.Parallel()
	g := picture.Groove{Title: "fillet", Says: []string{"leg 6 mm"}}
	if got := g.Text(); got != "fillet\n  leg 6 mm\n" {
		t.Errorf("Text() = %q", got)
	}
}
