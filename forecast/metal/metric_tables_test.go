package metal_test

import (
	"math"
	"strings"
	"testing"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// metricWeightTable is the metric page of the ESAB filler-metal handbook's
// weight table, kg/m at 0.283 lb/in3: the thickness, six rectangles with gaps of
// 1/16, 1/8, 3/16, 1/4, 3/8 and 1/2 in, six triangles of one wall at 5, 10, 15,
// 22.5, 30 and 45 degrees. Stars mark the five wrong cells of the US page, which
// were converted with the rest.
const metricWeightTable = `
3.18  .040 .079 .119 .158 .237 .315    .003 .007 .010 .016 .022 .040
4.76  .060 .119 .177 .237 .356 .473    .007 .016 .024 .037 .052 .089
6.35  .079 .158 .237 .315 .473 .632    .013 .028 .042 .065 .091 .158
7.94  .098 .198 .296 .394 .580* .790   .022 .043 .065 .102 .143 .247
9.53  .119 .237 .356 .473 .711 .948    .031 .062 .095 .147 .205 .356
11.11 .135* .277 .415 .552 .829 1.106  .042 .085 .129 .192* .280 .484
12.70 .158 .315 .473 .632 .948 1.263   .055 .112 .170 .262 .365 .632
14.29 .177 .356 .533 .711 1.065 1.421  .070 .141 .214 .332 .463 .671*
15.88 .198 .394 .592 .790 1.184 1.579  .086 .174 .265 .409 .570 .988
17.46 .217 .434 .652 .869 1.303 1.736  .104 .211 .320 .494 .690 1.196`

// TestMetricWeightTable holds the good cells within 0.0033 kg/m: they were
// converted from rounded lb/ft.
func TestMetricWeightTable(t *testing.T) {
	t.Parallel()
	gaps := []measure.Length{inch / 16, inch / 8, inch * 3 / 16, inch / 4, inch * 3 / 8, inch / 2}
	walls := []joint.Angle{5, 10, 15, 22.5, 30, 45}
	cells := 0
	for row := range strings.Lines(strings.TrimSpace(metricWeightTable)) {
		f := strings.Fields(row)
		depth := mm(number(t, f[0]))
		for i, cell := range f[1:] {
			if strings.HasSuffix(cell, "*") {
				continue
			}
			cells++
			var a joint.Area
			if i < len(gaps) {
				a = joint.Rectangle(depth, gaps[i])
			} else {
				a = joint.Bevel(depth, walls[i-len(gaps)])
			}
			if got, want := kilogramsPerMetre(a, us), number(t, cell); math.Abs(got-want) > 0.0033 {
				t.Errorf("T %s mm, column %d: got %.4f kg/m, want %v", f[0], i+1, got, want)
			}
		}
	}
	if cells != 116 {
		t.Errorf("compared %d cells, want 116", cells)
	}
}

// singleVTable is the single-V table of the ESAB covered-electrode catalogue:
// theoretical volume in cm3/m (c1), volume after shrinkage (c2) and kg/m
// deposited (c3), by included angle and position, for the thicknesses and gaps
// of its first rows. Stars mark cells that contradict their neighbours: 189
// stands where geometry gives 187.1, .16 is too low for its volume, and 1.17 is
// that of 149 cm3, not of 159.
const singleVTable = `
t  4 5 6 7 8 9 10 11 12 14 15 16 18 20 25
g  1 1 1 1.5 1.5 1.5 2 2 2 2 2 2 2 2 2
50 c1 11.5 16.5 23 33.5 42 51 66.5 78.5 91 120 135 151 189* 227 341
50 c2 11 16 21.5 32.5 40 48 62 71.5 83 110 123 132 170 208 313
50 c3 .09 .13 .17 .26 .31 .38 .49 .56 .65 .86 .97 1.04 1.33 1.63 2.46
60 c1 13 19.5 27 39 49 60.5 77.5 92 107 141 160 180 223 271 411
60 c2 12.5 19 25.5 38 46.5 56 72 83.5 97.5 130 146 157 204 247 375
60 c3 .10 .15 .20 .30 .37 .44 .57 .66 .77 1.02 1.15 1.23 1.60 1.94 2.94
70 c1 15 22.5 31 45 57 70 90 107 125 165 188 211 263 320 488
70 c2 16.5 24.5 37 49 59.5 75.5 96.5 113 134 171 197 223 276 334 510
70 c3 .13 .16* .29 .38 .47 .59 .76 .89 1.05 1.34 1.55 1.75 2.17 2.62 4.00
80 c1 17.5 26 36 51.5 65.5 81.5 104 124 145 193 219 247 308 376 577
80 c2 18 28 38.5 56 70 87.5 109 130 157 204 231 257 320 396 606
80 c3 .14 .22 .30 .44 .55 .69 .86 1.02 1.23 1.60 1.81 2.02 2.51 3.11 4.76
HV c2 14.5 21 30 42 56 65 81 96.5 113 159 171 186 233 281 425
HV c3 .11 .16 .24 .33 .44 .51 .64 .76 .89 1.17* 1.34 1.46 1.83 2.21 3.34`

// TestSingleVTable holds column 1 within half of its printed step (halves below
// 100, units above) and half a per cent; and column 3 within two hundredths of what
// column 2 weighs at 7.85, where thin plates are printed a hundredth off.
func TestSingleVTable(t *testing.T) {
	t.Parallel()
	rows := map[string][]string{}
	for row := range strings.Lines(strings.TrimSpace(singleVTable)) {
		f := strings.Fields(row)
		if f[0] == "t" || f[0] == "g" {
			rows[f[0]] = f[1:]
			continue
		}
		rows[f[0]+f[1]] = f[2:]
	}
	cells := 0
	for _, angle := range []string{"50", "60", "70", "80"} {
		for i, cell := range rows[angle+"c1"] {
			if strings.HasSuffix(cell, "*") {
				continue
			}
			cells++
			v := veeSection(mm(number(t, rows["t"][i])), mm(number(t, rows["g"][i])), joint.Angle(number(t, angle)))
			got := v.Along(measure.Metre).CubicCentimetres()
			step := 0.5
			if got > 100 {
				step = 1
			}
			if want := number(t, cell); math.Abs(got-want) > step/2+want*0.005 {
				t.Errorf("%s deg, t %s: got %.2f cm3/m, want %v", angle, rows["t"][i], got, want)
			}
		}
	}
	for _, angle := range []string{"50", "60", "70", "80", "HV"} {
		for i, cell := range rows[angle+"c3"] {
			if strings.HasSuffix(cell, "*") {
				continue
			}
			cells++
			got := kilogramsPerMetre(joint.Area(number(t, rows[angle+"c2"][i])), metric)
			if want := number(t, cell); math.Abs(got-want) > 0.02 {
				t.Errorf("%s, t %s: got %.3f kg/m, want %v", angle, rows["t"][i], got, want)
			}
		}
	}
	if cells != 59+73 {
		t.Errorf("compared %d cells, want 132", cells)
	}
}
