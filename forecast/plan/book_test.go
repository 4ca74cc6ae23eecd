package plan_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/xuri/excelize/v2"

	"ovenward/forecast/joint"
	"ovenward/forecast/plan"
	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

// book writes rows of a sheet into a workbook, with days in the column given.
func book(t testing.TB, days string, rows ...[]any) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range rows {
		at, err := excelize.CoordinatesToCellName(1, i+1)
		if err == nil {
			err = f.SetSheetRow("Sheet1", at, &row)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if days != "" {
		format := "dd/mm/yyyy"
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err == nil {
			err = f.SetCellStyle("Sheet1", days, days, style)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if _, err := f.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// A sheet as a planner keeps it: a title, other words for the columns, a day as
// one, as a bare serial and as text, units in the headings, numbers as numbers.
// 46357 is 1 December 2026, in week 49.
func TestAWorkbookIsReadAsAPlannerMeansIt(t *testing.T) {
	t.Parallel()
	p := read(t, book(t, "C4",
		[]any{"Weld plan, hull 12"}, nil,
		[]any{"Work Order", "Joint No.", "Start date", "Joint type", "Leg length (mm)", "Weld length, m", "Qty", "Electrode", "Rod dia. (in)", "Share (%)", "Electrode 2", "Rod size 2", "Remarks", "Completed"},
		[]any{"Barge 12", "B1", 46357.0, "Fillet", 6.0, 2.5, 3.0, "E7018", 0.125, 40.0, "E7018", "5/32 in", "deck", "no"},
		[]any{"Barge 12", "B2", 46357.0, "fillet", "1/4 in", 2.5, 3.0, "E7018", "1/8"},
		[]any{"Barge 12", "B3", "2026-W49", "fillet", 6.0, 2.5, 2.5, "E7018", 0.125},
		[]any{"Barge 12", "B4", "2026-12-01", "fillet", 6.0, 2.5, 1.0, "E7018", 0.125, nil, nil, nil, nil, "2026-12-04"},
	))
	var problems []string
	for _, b := range p.Problems {
		problems = append(problems, b.Error())
	}
	want := []string{`row 6, column quantity, "2.5": not a whole number from 1 to 1000000; write how many equal joints, such as 4`}
	if diff := cmp.Diff(want, problems); diff != "" {
		t.Errorf("problems (-want +got):\n%s", diff)
	}
	if len(p.Joints) != 2 || p.Joints[0].Week != (measure.Week{Year: 2026, Number: 49}) || p.Joints[1].Week != p.Joints[0].Week {
		t.Fatalf("joints %+v, want B1 and B2 in week 49", p.Joints)
	}
	first := p.Joints[0]
	passes := []joint.Pass{{Item: joint.Item{Class: "E7018", Diameter: measure.Inch / 8}, Share: 0.4}, {Item: joint.Item{Class: "E7018", Diameter: 5 * measure.Inch / 32}}}
	if diff := cmp.Diff(passes, first.Passes); diff != "" || first.Quantity != 3 || string(first.Preparation) != "fillet" {
		t.Errorf("first joint %+v (-want +got):\n%s", first, diff)
	}
	if diff := cmp.Diff([]plan.Key{{Job: "Barge 12", Joint: "B4"}}, p.Done); diff != "" {
		t.Errorf("done (-want +got):\n%s", diff)
	}
}

// The template as a workbook is the template.
func TestTheTemplateAsAWorkbook(t *testing.T) {
	t.Parallel()
	page, err := sheet.PageOf("plan", plan.Template())
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := sheet.WriteXLSX(&b, page); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(read(t, plan.Template()), read(t, b.String()), cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("as CSV and as a workbook (-CSV +XLSX):\n%s", diff)
	}
}

func TestALaterPlanReplacesJointsAndTakesOutThoseThatAreDone(t *testing.T) {
	t.Parallel()
	row := func(id, week, done string) string {
		return "Tank 3," + id + "," + week + ",fillet,6 mm,2 m,3,E7018,1/8 in," + done + "\n"
	}
	const head = "job,joint,week,prep,leg,length,quantity,item1,size1,done\n"
	base := read(t, head+row("T1", "2026-W49", "")+row("T2", "2026-W49", "")+row("T3", "2026-W49", "")+row("T4", "soon", ""))
	next := read(t, head+row("T2", "2026-W51", "")+row("T3", "2026-W49", "yes")+row("T5", "2026-W50", ""))
	got := next.Over(base)
	var ids []string
	for _, j := range got.Joints {
		ids = append(ids, j.ID+" "+j.Week.String())
	}
	if diff := cmp.Diff([]string{"T1 2026-W49", "T2 2026-W51", "T5 2026-W50"}, ids); diff != "" || len(got.Problems) != 1 {
		t.Errorf("problems %v (-want +got):\n%s", got.Problems, diff)
	}
	if added, changed, left := got.Changed(base); added != 1 || changed != 1 || left != 1 {
		t.Errorf("%d added, %d changed, %d left, want one each", added, changed, left)
	}
}

// Every name that a column may have leads to a column.
func TestOtherNamesOfColumnsAreKnown(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, want string }{
		{"Project", "job"}, {"WELD_NO", "joint"}, {"Start-Week", "week"}, {"Weld type", "prep"}, {"Thk (mm)", "thickness"}, {"Root gap mm", "opening"},
		{"Wall thickness in", "wall"}, {"No. off", "quantity"}, {"Included angle (deg)", "angle"}, {"status", "done"}, {"Comments", "notes"},
	} {
		_, err := plan.Read(strings.NewReader(c.want + "," + c.name + "\n"))
		bad, ok := errors.AsType[*plan.ColumnError](err)
		if !ok || bad.Column != c.name || bad.Why != "there twice" {
			t.Errorf("%s beside %s: %v, want that it is there twice", c.name, c.want, err)
		}
	}
}
