package plan_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/plan"
	"ovenward/inventory/measure"
)

const inch = measure.Length(measure.Inch)

func mm(n int64) measure.Length { return measure.Length(n) * measure.Millimetre }

// read reads a plan that has nothing wrong as a whole.
func read(t testing.TB, text string) plan.Plan {
	t.Helper()
	p, err := plan.Read(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestTemplateLoadsCleanAndCanBeComputed holds that a planner who starts from the
// template starts from a plan that works.
func TestTemplateLoadsCleanAndCanBeComputed(t *testing.T) {
	t.Parallel()
	p := read(t, plan.Template())
	if len(p.Problems) > 0 || len(p.Warnings) > 0 {
		t.Fatalf("problems %v, warnings %v, want none", p.Problems, p.Warnings)
	}
	if len(p.Joints) < 5 {
		t.Errorf("%d joints, want several", len(p.Joints))
	}
	c, err := metal.Default()
	if err != nil {
		t.Fatal(err)
	}
	f, err := demand.Make(demand.Input{Joints: p.Joints, Catalogue: c})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range f.NotComputed {
		t.Errorf("%s cannot be computed: %v", n.Joint.ID, n.Err)
	}
	for _, name := range plan.Columns() {
		if !strings.Contains(strings.SplitN(plan.Template(), "\n", 2)[0], name) {
			t.Errorf("the template lacks the column %s", name)
		}
	}
}

// TestRowsAreReadWhole holds every kind of cell once.
func TestRowsAreReadWhole(t *testing.T) {
	t.Parallel()
	p := read(t, `job,joint,week,prep,thickness,opening (mm),root_face [in],angle (deg),backing,leg,leg2,`+
		`cap_height,cap_width,length,od,wall,quantity,item1,size1,share1 (%),beads1,item2,size2 (mm),share2,beads2,notes
Barge 12,B1,2026-W49,single V,1 in,1/4 in,1/16,45,3/8 in,,,1/8 in,30 mm,12 ft,,,2,E7018,1/8 in,,4,E7018,4,,rest,x
Barge 12,B2,2027-01-01,Square_Butt,,2.5,,,no,,,,,,168.3 mm,7.11 mm,8,E6010,3.2 mm,20,,E7018 H4R,3.2,80 %,,
Barge 12,B3,2026-w50,FILLET,,,,,,"6,5 mm",1 1/2 in,-1 mm,,4.5 m,,,1,E7018,1/8 in,,,,,,,
Tank 3,B3,2026-W50,dovetail,,,,60°,yes,,,,,,,,1,E7018,1/8 in,,,,,,,
`)
	if len(p.Problems) > 0 {
		t.Fatalf("problems %v, want none", p.Problems)
	}
	e7018 := joint.Item{Class: "E7018", Diameter: inch / 8}
	want := []joint.Joint{
		{
			Job: "Barge 12", ID: "B1", Week: measure.Week{Year: 2026, Number: 49},
			Preparation: joint.SingleV, Quantity: 2,
			Sizes: joint.Sizes{
				Thickness: joint.Exactly(inch), Opening: joint.Exactly(inch / 4), RootFace: joint.Exactly(inch / 16),
				Angle: 45, Backing: true, CapHeight: joint.Exactly(inch / 8), CapWidth: joint.Exactly(mm(30)),
				Length: joint.Exactly(144 * inch),
			},
			Passes: []joint.Pass{{Item: e7018, Beads: 4}, {Item: joint.Item{Class: "E7018", Diameter: mm(4)}}},
		},
		{
			Job: "Barge 12", ID: "B2", Week: measure.Week{Year: 2026, Number: 53},
			Preparation: joint.SquareButt, Quantity: 8,
			Sizes: joint.Sizes{
				Opening: joint.Exactly(2_500_000), Outside: joint.Exactly(168_300_000), Wall: joint.Exactly(7_110_000),
			},
			Passes: []joint.Pass{
				{Item: joint.Item{Class: "E6010", Diameter: 3_200_000}, Share: 0.2},
				{Item: joint.Item{Class: "E7018 H4R", Diameter: 3_200_000}, Share: 0.8},
			},
		},
		{
			Job: "Barge 12", ID: "B3", Week: measure.Week{Year: 2026, Number: 50},
			Preparation: joint.Fillet, Quantity: 1,
			Sizes: joint.Sizes{
				Leg: joint.Exactly(6_500_000), Leg2: joint.Exactly(inch * 3 / 2), CapHeight: joint.Exactly(mm(-1)),
				Length: joint.Exactly(mm(4500)),
			},
			Passes: []joint.Pass{{Item: e7018}},
		},
		{
			Job: "Tank 3", ID: "B3", Week: measure.Week{Year: 2026, Number: 50},
			Preparation: "dovetail", Quantity: 1,
			Sizes:  joint.Sizes{Angle: 60, Backing: true},
			Passes: []joint.Pass{{Item: e7018}},
		},
	}
	if diff := cmp.Diff(p.Joints, want); diff != "" {
		t.Errorf("Joints (-got +want):\n%s", diff)
	}
}

// The smallest plan, by delimiter.
const (
	smallHeader = "job,joint,week,prep,leg,length,quantity,item1,size1,share1,beads1\n"
	smallRow    = "Tank 3,T1,2026-W49,fillet,6 mm,2 m,3,E7018,1/8 in,,\n"
)

func TestDelimitersMarksAndLineEnds(t *testing.T) {
	t.Parallel()
	want := read(t, smallHeader+smallRow).Joints
	if len(want) != 1 {
		t.Fatalf("%d joints, want 1", len(want))
	}
	text := smallHeader + smallRow
	for name, other := range map[string]string{
		"semicolons":        strings.ReplaceAll(text, ",", ";"),
		"tabs":              strings.ReplaceAll(text, ",", "\t"),
		"byte order mark":   "\ufeff" + text,
		"Windows line ends": strings.ReplaceAll(text, "\n", "\r\n"),
		"empty rows":        smallHeader + "\n" + strings.Repeat(",", 10) + "\n" + smallRow + "\n",
		"trailing commas":   strings.ReplaceAll(text, "\n", ",,\n"),
		"spaces and case":   " Job , JOINT ,week,Prep,leg,length,quantity,item1,size1,share1,beads1\n" + smallRow,
		"quoted inch mark":  smallHeader + strings.Replace(smallRow, "1/8 in", `"1/8"""`, 1),
		"no-break spaces":   smallHeader + strings.Replace(smallRow, "6 mm", "6\u00a0mm", 1),
		"decimal commas":    smallHeader + strings.Replace(smallRow, "6 mm", `"6,0 mm"`, 1),
		"unit in the header": strings.Replace(smallHeader, "leg", "leg (mm)", 1) +
			strings.Replace(smallRow, "6 mm", "6", 1),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := read(t, other)
			if diff := cmp.Diff(p.Joints, want); diff != "" {
				t.Errorf("Joints (-got +want):\n%s\nproblems %v", diff, p.Problems)
			}
		})
	}
}

// TestBadCellsAreReportedAndGoodRowsLoad puts one bad cell into a row between two
// good ones.
func TestBadCellsAreReportedAndGoodRowsLoad(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, from, to string
		column, value  string
		reason         string
	}{
		{"no unit", "6 mm", "6", "leg", "6", "no unit"},
		{"fraction without unit", "1/8 in", "1/8", "size1", "1/8", "no unit"},
		{"a date for a fraction", "1/8 in", "8-Jan", "size1", "8-Jan", "not a number"},
		{"unknown unit", "6 mm", "6 furlong", "leg", "6 furlong", "unknown unit"},
		{"not a number", "6 mm", "six mm", "leg", "six mm", "no number"},
		{"below zero", "2 m", "-2 m", "length", "-2 m", "below zero"},
		{"comma of thousands", "2 m", `"2,000 mm"`, "length", "2,000 mm", "thousands"},
		{"size of zero", "1/8 in", "0 mm", "size1", "0 mm", "not above zero"},
		{"week 54", "2026-W49", "2026-W54", "week", "2026-W54", "neither an ISO week"},
		{"day of a month that has none", "2026-W49", "2026-02-30", "week", "2026-02-30", "neither an ISO week"},
		{"American date", "2026-W49", "12/1/2026", "week", "12/1/2026", "neither an ISO week"},
		{"fraction of a joint", ",3,", ",2.5,", "quantity", "2.5", "not a whole number"},
		{"no joints", ",3,", ",0,", "quantity", "0", "not a whole number"},
		{"empty quantity", ",3,", ",,", "quantity", "", "empty"},
		{"empty job", "Tank 3,", ",", "job", "", "empty"},
		{"empty joint", "T2", "", "joint", "", "empty"},
		{"empty week", "2026-W49", "", "week", "", "empty"},
		{"empty preparation", "fillet", "", "prep", "", "empty"},
		{"item without size", "1/8 in", "", "size1", "", "empty"},
		{"size without item", "E7018", "", "item1", "", "empty"},
		{"share above 1", ",,\n", ",35,\n", "share1", "35", "not a share"},
		{"share of nothing", ",,\n", ",0 %,\n", "share1", "0 %", "not a share"},
		{"share in words", ",,\n", ",most,\n", "share1", "most", "not a share"},
		{"share and beads", ",,\n", ",0.5,4\n", "beads1", "4", "more than one of share, beads and layers"},
		{"share and rest", ",,\n", ",0.5,rest\n", "beads1", "rest", "more than one of share, beads and layers"},
		{"half a bead", ",,\n", ",,1.5\n", "beads1", "1.5", "not a whole number of beads"},
		{"formula", "6 mm", "=2*3", "leg", "=2*3", "a formula, which is not evaluated"},
		{"formula for a name", "T2", `"=HYPERLINK(""x"")"`, "joint", `=HYPERLINK("x")`, "a formula"},
		{"function for a name", "T2", "@SUM(A1)", "joint", "@SUM(A1)", "a formula"},
		{"sum for a name", "T2", "+1+2", "joint", "+1+2", "would be a formula"},
		{"same joint twice", "T2", "T1", "joint", "T1", "in row 2 already"},
		{"two lines in a cell", "T2", "\"T2\nT3\"", "joint", "T2\nT3", "in one line"},
		{"not UTF-8", "T2", "T\xff", "joint", "T\xff", "not plain UTF-8"},
		{"too few cells", ",,\n", "\n", "share1", "", "9 cells and the header 11"},
		{"too many cells", "6 mm", "6,5 mm", "after beads1", "", "12 cells"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			second := strings.Replace(smallRow, "T1", "T2", 1)
			bad := strings.Replace(second, tt.from, tt.to, 1)
			if bad == second {
				t.Fatalf("the row has no %q", tt.from)
			}
			if tt.name == "too many cells" {
				bad = strings.Replace(bad, ",,\n", ",0.5,4\n", 1)
				tt.value = "4"
			}
			p := read(t, smallHeader+smallRow+bad+strings.Replace(smallRow, "T1", "T9", 1))
			if len(p.Problems) != 1 {
				t.Fatalf("problems %v, want one", p.Problems)
			}
			got := p.Problems[0]
			if got.Row != 3 || got.Column != tt.column || got.Value != tt.value ||
				!strings.Contains(got.Reason, tt.reason) {
				t.Errorf("problem %+v, want row 3, column %s, value %q, reason %q", got, tt.column, tt.value, tt.reason)
			}
			if got.Write == "" {
				t.Errorf("problem %v does not say what to write instead", got)
			}
			if len(p.Joints) != 2 || p.Joints[0].ID != "T1" || p.Joints[1].ID != "T9" {
				t.Errorf("joints %v, want T1 and T9", p.Joints)
			}
		})
	}
}

func TestAllBadCellsOfARowAreReported(t *testing.T) {
	t.Parallel()
	p := read(t, smallHeader+"Tank 3,T1,soon,fillet,6,2 m,many,E7018,1/8 in,,\n")
	var got []string
	for _, b := range p.Problems {
		got = append(got, b.Column)
	}
	if diff := cmp.Diff(got, []string{"week", "leg", "quantity"}); diff != "" {
		t.Errorf("columns with a problem (-got +want):\n%s", diff)
	}
}

func TestWrongColumnsAreNamed(t *testing.T) {
	t.Parallel()
	with := func(name, other string) string { return strings.Replace(smallHeader, name, other, 1) }
	tests := []struct{ name, header, column, why string }{
		{"empty file", "", "job", "missing, the file is empty"},
		{"missing", with("week", "notes"), "week", "missing"},
		{"misspelt", with("leg", "leeg"), "leeg", "unknown"},
		{"empty in between", with("leg", ""), "", "has no name"},
		{"twice", with("leg", "length (mm)"), "length", "there twice"},
		{"pass beyond the ninth", with("item1", "item10"), "item10", "unknown"},
		{"pass zero", with("share1", "share0"), "share0", "unknown"},
		{"mass for a length", with("leg", "leg (kg)"), "leg (kg)", `"kg" is no unit of length`},
		{"unit of a count", with("quantity", "quantity (mm)"), "quantity (mm)", "has no unit"},
		{"share in mm", with("share1", "share1 (mm)"), "share1 (mm)", "a share is in %"},
		{"other table", "oven,date,reading\n", "oven", "unknown"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			p, err := plan.Read(strings.NewReader(tt.header))
			var bad *plan.ColumnError
			if !errors.As(err, &bad) {
				t.Fatalf("Read() error = %v, want a ColumnError", err)
			}
			if bad.Column != tt.column || !strings.Contains(bad.Why, tt.why) {
				t.Errorf("Read() = column %q %s, want %q %s", bad.Column, bad.Why, tt.column, tt.why)
			}
			for _, name := range strings.Split(strings.TrimSpace(tt.header), ",") {
				if !strings.Contains(err.Error(), name) {
					t.Errorf("error %q does not list the column %q that was found", err, name)
				}
			}
			if len(p.Joints) != 0 {
				t.Errorf("%d joints were read, want none", len(p.Joints))
			}
		})
	}
}

// TestCutFilesAreRefused cuts a plan of three rows at every byte. What is left
// must be refused, or lack whole rows only, or end in a row that is whole but for
// its line end, and then there is a warning.
func TestCutFilesAreRefused(t *testing.T) {
	t.Parallel()
	whole := smallHeader + smallRow + strings.Replace(smallRow, "T1", `"T""2"`, 1) +
		strings.Replace(smallRow, "T1", "T3", 1)
	rows := read(t, whole).Joints
	for n := len(smallHeader); n < len(whole); n++ {
		p, err := plan.Read(strings.NewReader(whole[:n]))
		if err != nil {
			if !errors.Is(err, plan.ErrTruncated) {
				t.Errorf("cut at %d: error %v, want ErrTruncated", n, err)
			}
			if len(p.Joints) > 0 {
				t.Errorf("cut at %d: %d joints beside the error %v", n, len(p.Joints), err)
			}
			continue
		}
		if len(p.Problems) > 0 {
			t.Errorf("cut at %d: problems %v instead of an error", n, p.Problems)
		}
		if diff := cmp.Diff(p.Joints, rows[:len(p.Joints)], cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("cut at %d: joints (-got +want):\n%s", n, diff)
		}
		if whole[n-1] != '\n' && len(p.Warnings) == 0 {
			t.Errorf("cut at %d: no warning that the last row may be cut", n)
		}
	}
}

func TestOddQuotationMarks(t *testing.T) {
	t.Parallel()
	with := func(cell string) string {
		return smallHeader + smallRow + strings.Replace(strings.Replace(smallRow, "T1", "T2", 1), "1/8 in", cell, 1)
	}
	_, err := plan.Read(strings.NewReader(with(`"1/8 in`)))
	if err == nil || !strings.Contains(err.Error(), "opened and not closed") || !strings.Contains(err.Error(), "row 3") {
		t.Errorf("never closed: error %v, want row 3 and a mark that is opened and not closed", err)
	}
	if p := read(t, with(`1/8"`)); len(p.Joints) != 2 || p.Joints[0].Passes[0] != p.Joints[1].Passes[0] {
		t.Errorf("a bare inch mark: %+v, problems %v, want 1/8 in", p.Joints, p.Problems)
	}
	p := read(t, with(`"1/8" in`))
	if len(p.Joints) != 1 || len(p.Problems) != 1 || p.Problems[0].Row != 3 || !strings.Contains(p.Problems[0].Write, "inches as 1/4 in") {
		t.Errorf("text behind a quotation: joints %+v, problems %v, want the first joint and row 3", p.Joints, p.Problems)
	}
}

func TestOtherEncodingsAreRefused(t *testing.T) {
	t.Parallel()
	for name, text := range map[string]string{
		"UTF-16 little end": "\xff\xfej\x00o\x00b\x00",
		"UTF-16 big end":    "\xfe\xff\x00j\x00o\x00b",
		"spreadsheet file":  "PK\x03\x04\x14\x00\x06\x00",
	} {
		if _, err := plan.Read(strings.NewReader(text)); !errors.Is(err, plan.ErrEncoding) {
			t.Errorf("%s: error %v, want ErrEncoding", name, err)
		}
	}
}

// errBroken is what the broken reader reports.
var errBroken = errors.New("disk on fire")

type broken struct{ rest *strings.Reader }

func (b broken) Read(p []byte) (int, error) {
	if b.rest.Len() == 0 {
		return 0, errBroken
	}
	return b.rest.Read(p)
}

func TestReadErrorsAreNotTheEndOfTheFile(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", smallHeader, smallHeader + strings.Repeat(smallRow, 2000)} {
		if _, err := plan.Read(broken{strings.NewReader(text)}); !errors.Is(err, errBroken) {
			t.Errorf("Read() error = %v, want %v", err, errBroken)
		}
	}
}
