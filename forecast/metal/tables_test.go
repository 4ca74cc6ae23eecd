package metal_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// weightTable is the weight table of the ESAB filler-metal handbook, section
// Calculations, in lb/ft at 0.283 lb/in3. Columns are T of 1/8, 3/16 ... 1 in.
// A rows are rectangles T x G, B rows triangles of one wall, C rows caps of
// width T. Stars mark the five cells that are printed wrong.
const weightTable = `
A 0.0625 .027 .040 .053 .066 .080 .091* .106 .119 .133 .146 .159 .172 .186 .199 .212
A 0.125  .053 .080 .106 .133 .159 .186 .212 .239 .265 .292 .318 .345 .371 .398 .425
A 0.1875 .080 .119 .159 .199 .239 .279 .318 .358 .398 .438 .478 .517 .557 .597 .637
A 0.25   .106 .159 .212 .265 .318 .371 .425 .478 .531 .584 .637 .690 .743 .796 .849
A 0.375  .159 .239 .318 .390* .478 .557 .637 .716 .796 .876 .995* 1.035 1.114 1.194 1.274
A 0.5    .212 .318 .425 .531 .637 .743 .849 .955 1.061 1.167 1.274 1.380 1.486 1.592 1.698
B 5      .002 .005 .009 .015 .021 .028 .037 .047 .058 .070 .084 .098 .114 .131 .149
B 10     .005 .011 .019 .029 .042 .057 .075 .095 .117 .142 .169 .198 .230 .263 .300
B 15     .007 .016 .028 .044 .064 .087 .114 .144 .178 .215 .256 .301 .349 .400 .456
B 22.5   .011 .025 .044 .069 .099 .129* .176 .223 .275 .332 .396 .464 .538 .618 .703
B 30     .015 .035 .061 .096 .138 .188 .245 .311 .383 .464 .552 .648 .751 .863 .981
B 45     .027 .060 .106 .166 .239 .325 .425 .451* .664 .804 .956 1.121 1.300 1.493 1.698
C 0.0625 - .027 .035 .044 .053 .062 .071 .080 .088 .097 .106 .115 .124 .133 .141
C 0.125  - - - - - - - .159 .177 .195 .212 .230 .248 .266 .283
C 0.1875 - - - - - - - .239 .265 .292 .318 .345 .371 .398 .424
C 0.25   - - - - - - - - .354 .389 .424 .460 .495 .530 .566`

// TestWeightTable holds all 212 good cells within 0.0015 lb/ft.
func TestWeightTable(t *testing.T) {
	t.Parallel()
	cells := 0
	for row := range strings.Lines(strings.TrimSpace(weightTable)) {
		f := strings.Fields(row)
		size := number(t, f[1])
		for i, cell := range f[2:] {
			if cell == "-" || strings.HasSuffix(cell, "*") {
				continue
			}
			cells++
			depth := inch/8 + inch/16*measure.Length(i)
			got := poundsPerFoot(element(f[0], depth, size))
			if want := number(t, cell); math.Abs(got-want) > 0.0015 {
				t.Errorf("%s %v at T %s: got %.4f lb/ft, want %v", f[0], size, depth.InchString(), got, want)
			}
		}
	}
	if cells != 212 {
		t.Errorf("compared %d cells, want 212", cells)
	}
}

// element is the joint element of a row of the weight table.
func element(row string, depth measure.Length, size float64) joint.Area {
	switch row {
	case "A":
		return joint.Rectangle(depth, inches(size))
	case "B":
		return joint.Bevel(depth, joint.Angle(size))
	default:
		return joint.CapArea(joint.Parabola, depth, inches(size))
	}
}

// stubTable is Figure 5 of ESAB, Basic Welding Filler Metal Technology, Lesson
// IX, in per cent: rods of 12, 14 and 18 in, each with stubs of 2, 3, 4 and 5 in.
const stubTable = `
60 50.0 45.0 40.0 35.0 51.4 47.1 42.8 38.5 53.3 50.0 46.6 43.3
65 54.2 48.7 43.3 37.9 55.7 51.1 46.4 41.8 57.7 54.2 50.5 46.9
70 58.3 52.5 46.6 40.8 60.0 55.0 50.0 45.0 62.2 58.3 54.4 50.5
75 62.5 56.2 50.0 43.7 64.3 58.9 53.6 48.2 66.6 62.5 58.3 54.2
80 66.6 60.0 53.3 46.6 68.5 62.8 57.1 51.4 71.1 66.6 62.2 57.7`

// TestStubTable holds all 60 cells within 0.1 points: the print mixes rounding
// and truncation.
func TestStubTable(t *testing.T) {
	t.Parallel()
	for row := range strings.Lines(strings.TrimSpace(stubTable)) {
		f := strings.Fields(row)
		for i, cell := range f[1:] {
			rod, left := []float64{12, 14, 18}[i/4], float64(2+i%4)
			got := 100 * metal.StubCorrected(number(t, f[0])/100, inches(rod), inches(left))
			if want := number(t, cell); math.Abs(got-want) > 0.1 {
				t.Errorf("%s %%, rod %v in, stub %v in: got %.2f %%, want %v", f[0], rod, left, got, want)
			}
		}
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestPublishersErrorsAreNotRepeated holds that the five wrong cells of the ESAB
// handbook's tables are not what geometry gives. The metric edition carries the
// same five.
func TestPublishersErrorsAreNotRepeated(t *testing.T) {
	t.Parallel()
	tests := []struct {
		cell          string
		got           joint.Area
		printed, true float64 // lb/ft
		metric        float64 // kg/m, as the metric edition prints the error
	}{
		{"triangle 9/16, 45 deg (CV-019)", joint.Bevel(inches(9./16), 45), 0.451, 0.537, 0.671},
		{"triangle 7/16, 22.5 deg", joint.Bevel(inches(7./16), 22.5), 0.129, 0.135, 0.192},
		{"rectangle 7/16 x 1/16", joint.Rectangle(inches(7./16), inch/16), 0.091, 0.093, 0.135},
		{"rectangle 5/16 x 3/8", joint.Rectangle(inches(5./16), inches(0.375)), 0.390, 0.398, 0.580},
		{"rectangle 3/4 x 3/8", joint.Rectangle(inches(0.75), inches(0.375)), 0.995, 0.955, 1.481},
	}
	for _, tt := range tests {
		got := poundsPerFoot(tt.got)
		if math.Abs(got-tt.true) > 0.001 {
			t.Errorf("%s: got %.4f lb/ft, want %v", tt.cell, got, tt.true)
		}
		if math.Abs(got-tt.printed) < 0.0015 {
			t.Errorf("%s: got %.4f lb/ft, which is the printed error %v", tt.cell, got, tt.printed)
		}
		converted := kilogramsPerMetre(tt.got, us)
		if math.Abs(converted-tt.metric) < 0.0025 {
			t.Errorf("%s: got %.4f kg/m, which is the printed error %v", tt.cell, converted, tt.metric)
		}
	}
}
