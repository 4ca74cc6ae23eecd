package register_test

import (
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones of the tests, wherever they run

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
	"ovenward/storage/register"
)

// halifax is a zone whose clocks go back on 2 November 2025 at 2:00 and forward
// on 8 March 2026.
func halifax(t testing.TB) *time.Location {
	t.Helper()
	z, err := time.LoadLocation("America/Halifax")
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func at(t testing.TB, text string) measure.Instant {
	t.Helper()
	i, err := measure.ParseInstant(text, halifax(t))
	if err != nil {
		t.Fatal(err)
	}
	return i
}

func read(t testing.TB, k register.Kind, m register.Mapping, text string) *register.Register {
	t.Helper()
	r, err := register.Read(strings.NewReader(text), k, m, halifax(t))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func pairs(t testing.TB, text string) []register.Pair {
	t.Helper()
	p, err := register.ParsePairs(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The program's own template is a register that it reads whole.
func TestTemplatesAreReadWithoutAProblem(t *testing.T) {
	t.Parallel()
	for _, k := range register.Kinds() {
		text := register.Template(k)
		if k == register.Oven {
			f, place, err := register.Readings([]byte(text), register.Mapping{})
			if err != nil || place != "" || f.Time != "time" || f.Date != "date" || f.Value != "temp" || f.Sensor != "place" {
				t.Errorf("%s: mapping %+v of %q, %v", k, f, place, err)
			}
			continue
		}
		r := read(t, k, register.Mapping{}, text)
		if r.Rows != 1 || len(r.Acts) == 0 || len(r.Problems) > 0 || len(r.Unread) > 0 {
			t.Errorf("%s: %d rows, %d acts, problems %v, unread %q", k, r.Rows, len(r.Acts), r.Problems, r.Unread)
		}
	}
}

// A site's own register: other words, semicolons, a day-first layout, a byte
// order mark, units in the header, a quoted cell, a short row.
func TestColumnsAreFoundByNameAndByMapping(t *testing.T) {
	t.Parallel()
	const text = "\ufeffDay;Out;Weld;Symbol;Qty;Heat;Size (mm);Remark\r\n" +
		"04.02.2026;07:10;\"J-7; J-8\";W3;40;7B21;3,2;cold morning\r\n" +
		";;;;;;;\r\n" +
		"04.02.2026;08:10;J-9;W9;20;7B21\r\n"
	m := register.Mapping{Layout: "DD.MM.YYYY hh:mm", Columns: pairs(t, "Day=date,Out=time,3=joints")}
	r := read(t, register.Issue, m, text)
	want := []inventory.Entry{
		&inventory.Issued{Diameter: "3,2 mm", Pieces: 40, Welder: "W3", Joints: []string{"J-7", "J-8"}},
		&inventory.Issued{Pieces: 20, Welder: "W9", Joints: []string{"J-9"}},
	}
	var got []inventory.Entry
	for _, a := range r.Acts {
		got = append(got, a.Entries...)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("acts (-want +got):\n%s", diff)
	}
	if a := r.Acts[0]; a.At != at(t, "2026-02-04 07:10") || a.Lot != "7B21" || a.Line != 2 {
		t.Errorf("first act %+v, want line 2 at 07:10 of lot 7B21", a)
	}
	if diff := cmp.Diff([]string{"Remark"}, r.Unread); diff != "" || r.Rows != 2 {
		t.Errorf("%d rows, unread columns (-want +got):\n%s", r.Rows, diff)
	}
}

// A row of an issue register that says what came back is two acts. Back at 01:10
// after out at 19:30 is the next day: rods cannot come back before they go out.
func TestNightShiftComesBackTheNextDay(t *testing.T) {
	t.Parallel()
	r := read(t, register.Issue, register.Mapping{}, "date,time,welder,pieces,back_time,unused,stubs,into\n"+
		"2026-02-04,19:30,W3,40,01:10,12,28,H1\n")
	if len(r.Acts) != 2 || r.Acts[1].At != at(t, "2026-02-05 01:10") || r.Acts[1].After != 0 {
		t.Fatalf("acts %+v, want a return at 01:10 of the next day, after the issue", r.Acts)
	}
	want := &inventory.Returned{Unused: 12, Stubs: 28, Into: "H1"}
	if diff := cmp.Diff(want, r.Acts[1].Entries[0]); diff != "" {
		t.Errorf("return (-want +got):\n%s", diff)
	}
}

// What cannot be read is named with its line, its column as the file calls it,
// its value, the reason and the next step. The clocks went back on 2 November
// 2025: 01:30 was there twice.
func TestProblemsNameTheirPlace(t *testing.T) {
	t.Parallel()
	const head = "when,Symbol,pieces,net (lb),lot,class,package,packages,made\n"
	m := register.Mapping{Columns: pairs(t, "when=time,Symbol=-")}
	const next = "write a date and a time such as 2025-06-05 07:00, or give --layout"
	for _, c := range []struct {
		row  string
		want sheet.Problem
	}{
		{"2025-11-02 01:30,,40,,7B21,E7018,carton,,", sheet.Problem{Line: 2, Column: "when", Value: "2025-11-02 01:30",
			Why:  "2025-11-02 01:30 happens twice in America/Halifax",
			Next: `write "2025-11-02 01:30 ADT" for the first (04:30 UTC) or "2025-11-02 01:30 AST" for the second (05:30 UTC)`}},
		{"2.3.26,,40,,7B21,E7018,carton,,", sheet.Problem{Line: 2, Column: "when", Value: "2.3.26", Why: "not a date and time", Next: next}},
		{",,40,,7B21,E7018,carton,,", sheet.Problem{Line: 2, Column: "when", Why: "no time",
			Next: `write when it was, or give one time for all rows with --set "time=08:00"`}},
		{"2026-03-02 06:00,,4o,,7B21,E7018,carton,,", sheet.Problem{Line: 2, Column: "pieces", Value: "4o",
			Why: `"4o" is not a whole number of pieces`, Next: "count whole rods; wire and flux are weighed: give a mass such as 5 kg"}},
		{"2026-03-02 06:00,,40,,,E7018,carton,,", sheet.Problem{Line: 2, Column: "lot", Why: "the lot has no number",
			Next: "enter the lot or heat number from the label; stock without one is practice stock, of the stock register"}},
		{"2026-03-02 06:00,,40,,7B21,E7018,carton,5000,", sheet.Problem{Line: 2, Column: "packages", Value: "5000",
			Why: "not a number from 1 to 1000", Next: "count the packages again"}},
		{"2026-03-02 06:00,,40,,7B21,E7018,carton,,spring", sheet.Problem{Line: 2, Column: "made", Value: "spring",
			Why: `date "spring": not a date; write year-month-day such as 2025-06-05`, Next: "write year-month-day such as 2025-06-05, or give --layout"}},
		{`2026-03-02 06:00,,"40,,7B21,E7018,carton,,` + "\"x\"\n", sheet.Problem{}},
	} {
		r, err := register.Read(strings.NewReader(head+c.row+"\n"), register.Receiving, m, halifax(t))
		if c.want == (sheet.Problem{}) {
			if err == nil && len(r.Problems) == 0 {
				t.Errorf("%q is read without a problem", c.row)
			}
			continue
		}
		if err != nil {
			t.Fatalf("%q: %v", c.row, err)
		}
		if diff := cmp.Diff([]sheet.Problem{c.want}, r.Problems); diff != "" || len(r.Acts) > 0 {
			t.Errorf("%q: %d acts (-want +got):\n%s", c.row, len(r.Acts), diff)
		}
	}
}

func TestMappingFaultsNameTheColumn(t *testing.T) {
	t.Parallel()
	const head = "time,class,package,Qty,Qty\n"
	for _, c := range []struct{ columns, fixed, want string }{
		{"Heat=lot", "", `"Heat": the file has no such column`},
		{"Qty=pieces", "", `"Qty": the column stands more than once`},
		{"4=rodz", "", `"rodz": the receiving register has no such field`},
		{"4=pieces,5=pieces", "", `"pieces": two columns are to be read as it`},
		{"", "colour=red", `"colour": the receiving register has no such field`},
		{"class=-", "", `"class": no column is read as it: classification on the label`},
	} {
		m := register.Mapping{Columns: pairs(t, c.columns), Fixed: pairs(t, c.fixed)}
		_, err := register.Read(strings.NewReader(head), register.Receiving, m, halifax(t))
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("--map %q --set %q: %v, want %s", c.columns, c.fixed, err, c.want)
		}
	}
	for _, text := range []string{"Qty", "=pieces", "Qty=pieces=lot", "Qty="} {
		if _, err := register.ParsePairs(text); err == nil {
			t.Errorf("pairs %q are read", text)
		}
	}
}

// Unknown origin can only be entered as practice stock; a class that nobody can
// read is refused where the stock is judged, not guessed here.
func TestStockWithoutALotIsPracticeStock(t *testing.T) {
	t.Parallel()
	r := read(t, register.Stock, register.Mapping{}, "time,lot,class,diameter,package,pieces,do\n"+
		"2026-03-02 06:00,,E7018,1/8 in,loose,40,\n2026-03-02 06:00,7B21,E7018,1/8 in,carton,40,hold\n"+
		"2026-03-02 06:00,,E7018,1/8 in,loose,40,hold\n2026-03-02 06:00,6C01,E7018,1/8 in,carton,9,scrap\n")
	first := r.Acts[0].Entries[0].(*inventory.Received)
	if first.Use != inventory.Practice || first.Lot != "practice E7018 1/8 in" || !first.Existing {
		t.Errorf("first %+v, want practice stock under a name of its own", first)
	}
	if second := r.Acts[1].Entries[0].(*inventory.Received); second.Use != "" || !second.Existing {
		t.Errorf("second %+v, want existing stock that QA may release", second)
	}
	if len(r.Problems) != 1 || r.Problems[0].Line != 4 || r.Problems[0].Column != "lot" {
		t.Errorf("problems %v, want line 4: stock without a lot cannot be held for release", r.Problems)
	}
	if last := r.Acts[len(r.Acts)-1]; last.Entries[0].Kind() != "scrap" || last.After != 2 {
		t.Errorf("last act %+v, want a scrap after the receipt", last)
	}
}
