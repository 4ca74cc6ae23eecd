package main

import (
	"bytes"
	"fmt"
	"math"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// benchJoint is an invented joint: a fillet, a V on backing or a pipe butt, by
// turns, with sizes in millimetres.
type benchJoint struct {
	week, kind, quantity int
	thick, outside       int // the leg of a fillet; the wall and the outside of a pipe
}

const benchWeeks = 52

func newBenchJoint(i, n int) benchJoint {
	j := benchJoint{week: 1 + i*benchWeeks/n, kind: i % 3, quantity: 1 + i%5}
	switch j.kind {
	case 0:
		j.thick = 4 + i%9
	case 1:
		j.thick = 20 + i%20
	default:
		j.thick, j.outside = 8, 100+i%400
	}
	return j
}

// planFile is a plan of so many joints as a planner's CSV file.
func planFile(n int) []byte {
	var b bytes.Buffer
	b.WriteString("job,joint,week,prep,leg (mm),thickness (mm),opening (mm),root_face (mm),angle,backing,length (mm)," +
		"od (mm),wall (mm),quantity,item1,size1,share1,item2,size2,share2\n")
	for i := range n {
		j := newBenchJoint(i, n)
		fmt.Fprintf(&b, "Barge 12,J%d,2025-W%02d,", i, j.week)
		switch j.kind {
		case 0:
			fmt.Fprintf(&b, "fillet,%d,,,,,,3000,,,%d,E7018,1/8 in,,,,\n", j.thick, j.quantity)
		case 1:
			fmt.Fprintf(&b, "single V,,%d,6,,45,yes,3000,,,%d,E7018,1/8 in,30 %%,E7018,5/32 in,rest\n", j.thick, j.quantity)
		default:
			fmt.Fprintf(&b, "single V,,,3,1,75,,,%d,%d,%d,E7018,1/8 in,30 %%,E7018,5/32 in,rest\n", j.outside, j.thick, j.quantity)
		}
	}
	return b.Bytes()
}

// planSheet is the same plan as a sheet of formulas, in the flat form of
// OpenDocument: the weeks' pieces in the first table, a joint in each row of the
// second.
func planSheet(n int) []byte {
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?><office:document` +
		` xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"` +
		` xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2" office:version="1.3"` +
		` office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:body><office:spreadsheet><table:table table:name="weeks">`)
	for w := 1; w <= benchWeeks; w++ {
		b.WriteString("<table:table-row>")
		for _, column := range []string{"H", "I"} {
			formula(&b, fmt.Sprintf("ROUNDUP(SUMIFS([joints.$%[1]s$1:.$%[1]s$%[2]d];[joints.$A$1:.$A$%[2]d];%[3]d)-0.000000001;0)", column, n, w))
		}
		b.WriteString("</table:table-row>")
	}
	b.WriteString(`</table:table><table:table table:name="joints">`)
	small, large := rodsOfBench()
	for i := range n {
		newBenchJoint(i, n).row(&b, i+1, small, large)
	}
	b.WriteString("</table:table></office:spreadsheet></office:body></office:document>")
	return b.Bytes()
}

// rodsOfBench returns how many rods of each size a cubic millimetre takes.
func rodsOfBench() (small, large float64) {
	each := func(size measure.Length) float64 {
		c, err := metal.Default()
		if err != nil {
			return math.NaN() // Calc's pieces are then not ours, which is what is looked for
		}
		r, err := c.Rod(joint.Item{Class: "E7018", Diameter: size})
		if err != nil {
			return math.NaN()
		}
		return r.Need(1e9).Pieces / 1e9
	}
	return each(measure.Inch / 8), each(5 * measure.Inch / 32)
}

// row writes a joint: week, kind, size, outside, quantity, part of the smaller rod,
// volume, rods of each size.
func (j benchJoint) row(b *bytes.Buffer, row int, small, large float64) {
	b.WriteString("<table:table-row>")
	part := 0.3
	if j.kind == 0 {
		part = 1
	}
	for _, v := range []float64{float64(j.week), float64(j.kind), float64(j.thick), float64(j.outside), float64(j.quantity), part} {
		fmt.Fprintf(b, `<table:table-cell office:value-type="float" office:value="%v"/>`, v)
	}
	const pipe = "2*PI()*(3*[.C%[1]d]*([.D%[1]d]/2-[.C%[1]d]/2)+([.C%[1]d]-1)^2*TAN(RADIANS(37.5))*([.D%[1]d]/2-[.C%[1]d]+1+2*([.C%[1]d]-1)/3))"
	formula(b, fmt.Sprintf("[.E%[1]d]*IF([.B%[1]d]=0;[.C%[1]d]^2/2*3000;IF([.B%[1]d]=1;(6*[.C%[1]d]+[.C%[1]d]^2*TAN(RADIANS(22.5)))*3000;"+pipe+"))", row))
	formula(b, fmt.Sprintf("[.G%[1]d]*[.F%[1]d]*%[2]v", row, small))
	formula(b, fmt.Sprintf("[.G%[1]d]*(1-[.F%[1]d])*%[2]v", row, large))
	b.WriteString("</table:table-row>")
}

func formula(b *bytes.Buffer, text string) {
	fmt.Fprintf(b, `<table:table-cell table:formula="of:=%s"/>`, text)
}
