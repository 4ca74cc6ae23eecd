package show_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/cmd/internal/show"
)

// slips is a table as a screen at the window has them: an urgent line, a long
// one and one without joints.
func slips() show.Table {
	t := show.Table{Title: "OUT", Head: []string{"state", "back by", "welder", "rods", "exposed", "for"},
		Right: []int{3}, Spare: []int{4}, Note: "two are late", Empty: "Nothing is out."}
	t.Add("OVERDUE 12 min", "10:45", "W3", "40", "4:12", "J-101 J-102")
	t.Add("ok, 3 h 59 min left", "25 Nov 01:32", "W12", "5", "0:01", "")
	return t
}

func printed(t *testing.T, p show.Printer, data any, tables ...show.Table) string {
	t.Helper()
	var out bytes.Buffer
	p.W = &out
	if err := p.Answer(data, tables...); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestTableIsWholeWhereItIsPiped(t *testing.T) {
	t.Parallel()
	got := printed(t, show.Printer{Format: show.AsTable}, nil, slips())
	want := `OUT
state                back by       welder  rods  exposed  for
---------------------------------------------------------------------
OVERDUE 12 min       10:45         W3        40  4:12     J-101 J-102
ok, 3 h 59 min left  25 Nov 01:32  W12        5  0:01
two are late
`
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestTableSparesAColumnBeforeItWraps(t *testing.T) {
	t.Parallel()
	got := printed(t, show.Printer{Format: show.AsTable, Width: 64}, nil, slips())
	want := `OUT
state                back by       welder  rods  for
------------------------------------------------------------
OVERDUE 12 min       10:45         W3        40  J-101 J-102
ok, 3 h 59 min left  25 Nov 01:32  W12        5
left out for want of room: exposed
two are late
`
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestTableWrapsTheWidestColumnBetweenWords(t *testing.T) {
	t.Parallel()
	got := printed(t, show.Printer{Format: show.AsTable, Width: 52}, nil, slips())
	want := `OUT
state        back by       welder  rods  for
----------------------------------------------------
OVERDUE      10:45         W3        40  J-101 J-102
12 min
ok, 3 h      25 Nov 01:32  W12        5
59 min left
left out for want of room: exposed
two are late
`
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestTableWithoutRowsSaysSo(t *testing.T) {
	t.Parallel()
	got := printed(t, show.Printer{Format: show.AsTable}, nil, show.Table{Title: "OUT", Head: []string{"slip"}, Empty: "Nothing is out."})
	if want := "OUT\nNothing is out.\n"; got != want {
		t.Errorf("Answer() = %q, want %q", got, want)
	}
}

func TestCSVHasEveryColumnAndNoWords(t *testing.T) {
	t.Parallel()
	got := printed(t, show.Printer{Format: show.AsCSV, Width: 20}, nil, slips())
	want := "state,back by,welder,rods,exposed,for\n" +
		"OVERDUE 12 min,10:45,W3,40,4:12,J-101 J-102\n" +
		"\"ok, 3 h 59 min left\",25 Nov 01:32,W12,5,0:01,\n"
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestJSONIsTheDataAlone(t *testing.T) {
	t.Parallel()
	got := printed(t, show.Printer{Format: show.AsJSON}, map[string]string{"lot": "<7B21>"}, slips())
	if want := "{\n  \"lot\": \"<7B21>\"\n}\n"; got != want {
		t.Errorf("Answer() = %q, want %q", got, want)
	}
}

func TestUnknownFormatIsNamed(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"table", "csv", "json"} {
		if f, err := show.ParseFormat(name); err != nil || string(f) != name {
			t.Errorf("ParseFormat(%q) = %q, %v", name, f, err)
		}
	}
	if _, err := show.ParseFormat("xml"); err == nil || !strings.Contains(err.Error(), `"xml"`) {
		t.Errorf("ParseFormat(xml) = %v, want an error that names it", err)
	}
}

// A spreadsheet takes a cell for a formula when it begins with one of = + - @,
// or with white space before one (OWASP, "CSV injection").
func TestDefuseKeepsFormulasOut(t *testing.T) {
	t.Parallel()
	for cell, want := range map[string]string{
		"":                    "",
		"7B21":                "7B21",
		"=1+1":                "'=1+1",
		"+cmd|' /C calc'!A0":  "'+cmd|' /C calc'!A0",
		"-1+1":                "'-1+1",
		"-inf":                "'-inf",
		"@SUM(A1)":            "'@SUM(A1)",
		"\t=1":                "'\t=1",
		"\r=1":                "'\r=1",
		"\n=1":                "'\n=1",
		"-5":                  "-5",
		"+3.2":                "+3.2",
		"-0,5":                "-0,5",
		"J-101":               "J-101",
		"1/8 in":              "1/8 in",
		"2026-03-02 07:00":    "2026-03-02 07:00",
		"Tested per WPS =12":  "Tested per WPS =12",
		"'=1+1":               "''=1+1",
		"'t Hoekje":           "''t Hoekje",
		"＝1+1":                "'＝1+1", // the full-width forms, which some spreadsheets read as the others
		"＋1":                  "'＋1",
		"－1":                  "'－1",
		"＠SUM(A1)":            "'＠SUM(A1)",
		"-5 °C":               "-5 °C", // a reading, which is loaded again
		"-17.5 F":             "-17.5 F",
		"-5 °C+1":             "'-5 °C+1",
		"=HYPERLINK(\"a\",1)": "'=HYPERLINK(\"a\",1)",
	} {
		if got := show.Defuse(cell); got != want {
			t.Errorf("Defuse(%q) = %q, want %q", cell, got, want)
		}
	}
}

// The rule that readers are told: take one apostrophe off the front of a cell
// that begins with one, and the text is as it was.
func TestDefuseIsUndoneByTheRule(t *testing.T) {
	t.Parallel()
	text := rapid.StringOf(rapid.OneOf(rapid.Rune(), rapid.RuneFrom([]rune("'=+-@\t\r\n＝＋－＠5."))))
	rapid.Check(t, func(t *rapid.T) {
		cell := text.Draw(t, "cell")
		got := show.Defuse(cell)
		if again := show.Undefuse(got); again != cell {
			t.Fatalf("%q is written as %q and read as %q", cell, got, again)
		}
		if begins := strings.IndexAny(got, "=+-@\t\r\n＝＋－＠"); begins == 0 && !number(got) {
			t.Fatalf("%q is written as %q, which a spreadsheet may take for a formula", cell, got)
		}
	})
}

func number(s string) bool {
	s, _, _ = strings.Cut(s, " ")
	_, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	return err == nil
}

// Six columns of the longest words have room, so no line may be longer than the
// terminal, and no letter may be lost in wrapping.
func TestTableFitsAndLosesNoWord(t *testing.T) {
	t.Parallel()
	word := rapid.StringMatching(`[a-z]{1,9}`)
	cell := rapid.Map(rapid.SliceOfN(word, 0, 5), func(w []string) string { return strings.Join(w, " ") })
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(1, 6).Draw(t, "columns")
		row := rapid.SliceOfN(cell, columns, columns)
		table := show.Table{Head: rapid.SliceOfN(word, columns, columns).Draw(t, "head"), Rows: rapid.SliceOfN(row, 1, 4).Draw(t, "rows")}
		const width = 64 // six columns of nine, with their gaps
		var out bytes.Buffer
		p := show.Printer{W: &out, Format: show.AsTable, Width: width}
		if err := p.Answer(nil, table); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > width {
				t.Fatalf("a line of %d columns on a terminal of %d:\n%s", n, width, out.String())
			}
		}
		if got, want := letters(out.String()), letters(strings.Join(append(flat(table.Rows), table.Head...), "")); got != want {
			t.Fatalf("%d letters printed, want %d:\n%s", got, want, out.String())
		}
	})
}

func flat(rows [][]string) (cells []string) {
	for _, r := range rows {
		cells = append(cells, r...)
	}
	return cells
}

func letters(s string) int {
	n := 0
	for _, r := range s {
		if r != ' ' && r != '\n' && r != '-' {
			n++
		}
	}
	return n
}

// What is printed is read back by the standard library: no cell breaks the form.
func TestCSVAndJSONAreReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		cells := rapid.SliceOfN(rapid.StringOf(rapid.RuneFrom([]rune("a\"',;= \n-é°"))), 3, 3).Draw(t, "cells")
		var out bytes.Buffer
		p := show.Printer{W: &out, Format: show.AsCSV}
		table := show.Table{Head: []string{"a", "b", "c"}, Rows: [][]string{cells}}
		if err := p.Answer(cells, table); err != nil {
			t.Fatal(err)
		}
		records, err := csv.NewReader(&out).ReadAll()
		if err != nil || len(records) != 2 {
			t.Fatalf("read back: %q, %v", records, err)
		}
		for i, c := range records[1] {
			if c != show.Defuse(cells[i]) {
				t.Fatalf("cell %d: got %q, want %q", i, c, show.Defuse(cells[i]))
			}
		}
		p.Format = show.AsJSON
		var back []string
		if err := p.Answer(cells, table); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(out.Bytes(), &back); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(cells, back); diff != "" {
			t.Fatalf("(-want +got):\n%s", diff)
		}
	})
}

func TestNumberStaysWithItsUnit(t *testing.T) {
	t.Parallel()
	table := show.Table{Head: []string{"what"}}
	table.Add("E7018 1/8 in, exposed 3 h 45 min of 4 h")
	got := printed(t, show.Printer{Format: show.AsTable, Width: 11}, nil, table)
	want := `what
-----------
E7018
1/8 in,
exposed 3 h
45 min of
4 h
`
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Wrapping the second column leaves ten columns over, of which the first needs
// one to stand on one line.
func TestRoomThatWrappingLeavesIsUsed(t *testing.T) {
	t.Parallel()
	table := show.Table{Head: []string{"state", "why"}}
	table.Add("hold it", "incomprehensible moisture")
	got := printed(t, show.Printer{Format: show.AsTable, Width: 27}, nil, table)
	want := `state    why
-------------------------
hold it  incomprehensible
         moisture
`
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// A scanner may send what moves the cursor: ESC, tab, a line feed in a cell.
func TestControlCharactersDoNotReachTheScreen(t *testing.T) {
	t.Parallel()
	table := show.Table{Head: []string{"lot", "why"}}
	table.Add("7B\x1b[31m21", "two\nlines\tand a tab")
	got := printed(t, show.Printer{Format: show.AsTable}, nil, table)
	want := "lot        why\n------------------------------\n7B\ufffd[31m21  two\ufffdlines\ufffdand a tab\n"
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	var out bytes.Buffer
	p := show.Printer{W: &out, Format: show.AsTable}
	if err := p.Line("SLIP\n%s", "S1\x07"); err != nil {
		t.Fatal(err)
	}
	if got, want := out.String(), "SLIP\nS1\ufffd\n"; got != want {
		t.Errorf("Line() = %q, want %q", got, want)
	}
}
