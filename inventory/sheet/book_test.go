package sheet_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"ovenward/inventory/sheet"
)

// workbook builds a workbook whose first sheet is filled by fn.
func workbook(t testing.TB, fn func(f *excelize.File, sheet string) error) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	if err := fn(f, f.GetSheetName(0)); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if _, err := f.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// set fills cells, and gives them number formats.
func set(f *excelize.File, name string, cells map[string]any, formats map[string]string) error {
	for at, v := range cells {
		if err := f.SetCellValue(name, at, v); err != nil {
			return err
		}
	}
	for at, format := range formats {
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err == nil {
			err = f.SetCellStyle(name, at, at, style)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// What a person sees in a cell and what is stored differ: 46357 days since the
// end of 1899 are 1 December 2026, 0.125 may be shown as 1/8, 0.35 as 35 %.
func TestCellsOfAWorkbookSayWhatAPersonMeans(t *testing.T) {
	t.Parallel()
	text := workbook(t, func(f *excelize.File, name string) error {
		return set(f, name, map[string]any{
			"A3": "kind", "B3": "value",
			"A4": "day", "B4": 46357.0, "A5": "day and time", "B5": 46357.5, "A6": "day in American", "B6": 46357.0,
			"A7": "bare serial", "B7": 46357.0, "A8": "fraction", "B8": 0.125, "A9": "part", "B9": 0.35,
			"A10": "noise", "B10": 0.1 + 0.2, "A11": "text", "B11": "007", "A12": "two decimals", "B12": 6.0,
			"A14": "real day", "B14": time.Date(2026, 12, 1, 0, 0, 0, 0, time.UTC), "A15": "large", "B15": 45000.0, "A16": "time", "B16": 7.0 / 24, "A17": "American time", "B17": (13*60 + 30) / 1440.0,
		}, map[string]string{"B4": "dd/mm/yyyy", "B5": "yyyy-mm-dd hh:mm", "B6": "mmm d, yyyy", "B8": "# ?/?", "B9": "0%", "B12": "0.00", "B15": "#,##0.00",
			"B16": "hh:mm", "B17": "h:mm AM/PM"})
	})
	got, err := rows(text)
	want := [][]string{{"kind", "value"}, {"day", "2026-12-01"}, {"day and time", "2026-12-01 12:00"}, {"day in American", "2026-12-01"},
		{"bare serial", "46357"}, {"fraction", "0.125"}, {"part", "35 %"}, {"noise", "0.3"}, {"text", "007"}, {"two decimals", "6"},
		{"", ""}, {"real day", "2026-12-01"}, {"large", "45000"},
		{"time", "07:00"}, {"American time", "13:30"}}
	if diff := cmp.Diff(want, got); diff != "" || err != nil {
		t.Errorf("%v (-want +got):\n%s", err, diff)
	}
}

// A workbook may count its days from 1904: the same serial is four years and a
// day later.
func TestDaysCountedFrom1904(t *testing.T) {
	t.Parallel()
	text := workbook(t, func(f *excelize.File, name string) error {
		yes := true
		if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}); err != nil {
			return err
		}
		return set(f, name, map[string]any{"A1": "day", "A2": 46357.0 - 1462}, map[string]string{"A2": "yyyy-mm-dd"})
	})
	got, err := rows(text)
	if diff := cmp.Diff([][]string{{"day"}, {"2026-12-01"}}, got); diff != "" || err != nil {
		t.Errorf("%v (-want +got):\n%s", err, diff)
	}
}

// A hidden sheet in front is not what the buyer filled in; a row keeps its number.
func TestTheFirstSheetInSightIsRead(t *testing.T) {
	t.Parallel()
	text := workbook(t, func(f *excelize.File, name string) error {
		if err := set(f, name, map[string]any{"A1": "lists"}, nil); err != nil {
			return err
		}
		if _, err := f.NewSheet("plan"); err != nil {
			return err
		}
		f.SetActiveSheet(1)
		return errors.Join(f.SetSheetVisible(name, false), set(f, "plan", map[string]any{"A2": "a", "B2": "b", "A9": "x"}, nil))
	})
	r, err := sheet.NewReader(strings.NewReader(text))
	if err != nil || !r.IsBook() {
		t.Fatalf("a workbook: %v", err)
	}
	var last [][]byte
	line := int64(0)
	for {
		cells, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		last, line = cells, r.Line()
	}
	if line != 9 || len(last) != 2 || string(last[0]) != "x" {
		t.Errorf("last row %q in row %d, want x and nothing in row 9", last, line)
	}
}

// bomb is a workbook one part of which unpacks to so many bytes.
func bomb(t testing.TB, size int) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create("xl/worksheets/sheet1.xml")
	if err == nil {
		_, err = io.Copy(w, io.LimitReader(zeros{}, int64(size)))
	}
	if err = errors.Join(err, z.Close()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// A file of 200 kB that unpacks to 200 MB is refused before it is unpacked.
func TestAZipBombIsRefusedByItsLimit(t *testing.T) {
	t.Parallel()
	text := bomb(t, 200<<20)
	if len(text) > 1<<20 {
		t.Fatalf("the file is of %d bytes: no bomb", len(text))
	}
	_, err := rows(text)
	if large, ok := errors.AsType[*sheet.TooLargeError](err); !ok || large.Limit != 160<<20 || !strings.Contains(err.Error(), "167772160 bytes unpacked") {
		t.Errorf("%v, want the limit of 160 MiB unpacked", err)
	}
}

func TestHugeSheetsAreRefusedByTheirLimit(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ cell, want string }{{"A100001", "100000 rows"}, {"IW1", "256 columns"}} {
		text := workbook(t, func(f *excelize.File, name string) error {
			return set(f, name, map[string]any{"A1": "job", c.cell: "x"}, nil)
		})
		if _, err := rows(text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("a cell %s: %v, want more than %s", c.cell, err, c.want)
		}
	}
	if _, err := rows("PK\x03\x04" + strings.Repeat("x", 33<<20)); err == nil || !strings.Contains(err.Error(), "33554432 bytes") {
		t.Errorf("33 MiB: %v, want more than 33554432 bytes", err)
	}
}

func TestWhatIsNoWorkbook(t *testing.T) {
	t.Parallel()
	whole := workbook(t, func(f *excelize.File, name string) error { return set(f, name, map[string]any{"A1": "job"}, nil) })
	for name, text := range map[string]string{
		"cut": whole[:len(whole)/2], "old": "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "another zip": bomb(t, 10),
	} {
		if _, err := rows(text); !errors.Is(err, sheet.ErrEncoding) && !errors.Is(err, sheet.ErrEmpty) {
			t.Errorf("%s: %v, want a *BookError", name, err)
		}
	}
	empty := workbook(t, func(*excelize.File, string) error { return nil })
	if _, err := rows(empty); !errors.Is(err, sheet.ErrEmpty) {
		t.Errorf("an empty sheet: %v, want ErrEmpty", err)
	}
}

// What is written is read back: text is text, even where it looks like a formula.
func TestAWorkbookThatIsWrittenIsReadBack(t *testing.T) {
	t.Parallel()
	var b bytes.Buffer
	page := sheet.Page{Name: "orders", Head: []string{"class", "rods", "cost"}, Rows: [][]any{{"=1+1", int64(150), 18.9}, {"E7018", nil, nil}}}
	if err := sheet.WriteXLSX(&b, page, sheet.Page{Name: "left out", Head: []string{"why"}}); err != nil {
		t.Fatal(err)
	}
	got, err := rows(b.String())
	if diff := cmp.Diff([][]string{{"class", "rods", "cost"}, {"=1+1", "150", "18.9"}, {"E7018", "", ""}}, got); diff != "" || err != nil {
		t.Errorf("%v (-want +got):\n%s", err, diff)
	}
	f, err := excelize.OpenReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if formula, err := f.GetCellFormula("orders", "A2"); formula != "" || err != nil {
		t.Errorf("formula %q, %v, want none", formula, err)
	}
	if diff := cmp.Diff([]string{"orders", "left out"}, f.GetSheetList()); diff != "" {
		t.Errorf("sheets (-want +got):\n%s", diff)
	}
}

func TestSerialsOfDays(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{"46357": "2026-12-01", "46357.25": "2026-12-01 06:00", "2026": "", "W49": "", "99999": ""} {
		if got, ok := sheet.Serial(text); got != want || ok != (want != "") {
			t.Errorf("Serial(%q) = %q, %v, want %q", text, got, ok, want)
		}
	}
}

// FuzzBook feeds the parts of a small workbook: the reader ends, without a panic
// of the library coming through.
func FuzzBook(f *testing.F) {
	f.Add(`<row r="1"><c r="A1" t="inlineStr"><is><t>job</t></is></c></row>`, `<numFmts/>`)
	f.Add(`<row r="2"><c r="A2" s="1"><v>46357</v></c><c r="ZZ2"><v>1e400</v></c></row>`, `<cellXfs count="2"><xf/><xf numFmtId="14"/></cellXfs>`)
	f.Add(`<row r="9999999"><c r="A1" t="s"><v>7</v></c></row>`, ``)
	f.Fuzz(func(t *testing.T, data, styles string) {
		if len(data)+len(styles) > 4096 {
			return
		}
		r, err := sheet.NewReader(strings.NewReader(parts(t, data, styles)))
		if err != nil {
			return
		}
		last := int64(0)
		for {
			cells, err := r.Next()
			if err != nil {
				return
			}
			if r.Line() <= last || len(cells) == 0 {
				t.Fatalf("%d cells in row %d behind row %d", len(cells), r.Line(), last)
			}
			last = r.Line()
		}
	})
}

// parts puts a workbook together from the rows of its sheet and its styles.
func parts(t testing.TB, data, styles string) string {
	t.Helper()
	const (
		main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
		rels = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		pack = "http://schemas.openxmlformats.org/package/2006/"
	)
	files := []struct{ name, text string }{
		{"[Content_Types].xml", `<Types xmlns="` + pack + `content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`},
		{"_rels/.rels", `<Relationships xmlns="` + pack + `relationships"><Relationship Id="rId1" Type="` + rels + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="` + main + `" xmlns:r="` + rels + `"><sheets><sheet name="plan" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="` + pack + `relationships"><Relationship Id="rId1" Type="` + rels + `/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", fmt.Sprintf(`<worksheet xmlns=%q><sheetData>%s</sheetData></worksheet>`, main, data)},
		{"xl/styles.xml", fmt.Sprintf(`<styleSheet xmlns=%q>%s</styleSheet>`, main, styles)},
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.CreateHeader(&zip.FileHeader{Name: f.name, Method: zip.Store})
		if err == nil {
			_, err = io.WriteString(w, f.text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
