package main

import (
	"encoding/csv"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// top is the folder of the module.
const top = "../.."

// caseCount is the number of cases that the table goes through, C01 to C86.
const caseCount = 86

// caseRow is one line of testdata/cases.tsv.
type caseRow struct {
	number, holds, where, shown, missing string
}

// faults says what is wrong with a line: a case that is not held by anything
// says what is missing, and every proof that it names is there.
func (c caseRow) faults() (out []string) {
	if c.holds == "" || c.where == "" {
		out = append(out, "says not what must hold, or not where")
	}
	proofs := strings.Fields(c.shown)
	if len(proofs) == 0 && c.missing == "" {
		out = append(out, "is shown by nothing and does not say what is missing")
	}
	for _, p := range proofs {
		if err := proof(p); err != nil {
			out = append(out, err.Error())
		}
	}
	return out
}

// proof looks for a timeline, a script or a test function: timeline/NAME,
// script/NAME or PACKAGE.TestName.
func proof(p string) error {
	kind, name, _ := strings.Cut(p, "/")
	switch kind {
	case "timeline":
		return there(filepath.Join(top, "testdata/timelines", name+".jsonl"), p)
	case "script":
		return there(filepath.Join(top, "cmd/ovenward/testdata/script", name+".txtar"), p)
	}
	dir, test, found := cutTest(p)
	if !found {
		return fmt.Errorf("%s is no timeline, script or test", p)
	}
	if !hasTest(filepath.Join(top, dir), test) {
		return fmt.Errorf("%s: no such test", p)
	}
	return nil
}

// cutTest parts "storage/rules.TestX" into its package and its test.
func cutTest(p string) (dir, test string, found bool) {
	i := strings.Index(p, ".Test")
	if i < 0 {
		return "", "", false
	}
	return p[:i], p[i+1:], true
}

func there(file, p string) error {
	if _, err := os.Stat(file); err != nil {
		return fmt.Errorf("%s: %w", p, err)
	}
	return nil
}

// hasTest reports whether a test file of a folder has a function of a name.
func hasTest(dir, test string) bool {
	files, err := filepath.Glob(filepath.Join(dir, "*_test.go"))
	if err != nil {
		return false
	}
	for _, f := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.SkipObjectResolution)
		if err != nil {
			continue
		}
		for _, d := range parsed.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && fn.Recv == nil && fn.Name.Name == test {
				return true
			}
		}
	}
	return false
}

func readCases(t *testing.T) []caseRow {
	t.Helper()
	f, err := os.Open(filepath.Join(top, "testdata", "cases.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	})
	r := csv.NewReader(f)
	r.Comma, r.LazyQuotes = '\t', true
	rows, err := r.ReadAll() // every row has as many cells as the header
	if err != nil {
		t.Fatal(err)
	}
	var out []caseRow
	for _, c := range rows[1:] {
		out = append(out, caseRow{c[0], c[1], c[2], c[3], c[4]})
	}
	return out
}

// The table goes through every case once, and what it says shows a case is
// there.
func TestEveryCaseIsInTheTableWithWhatShowsIt(t *testing.T) {
	t.Parallel()
	rows := readCases(t)
	for i, c := range rows {
		if want := fmt.Sprintf("C%02d", i+1); c.number != want {
			t.Fatalf("line %d is of case %s, want %s: a case is missing, doubled or out of its order", i+2, c.number, want)
		}
		for _, fault := range c.faults() {
			t.Errorf("case %s: %s", c.number, fault)
		}
	}
	if len(rows) != caseCount {
		t.Errorf("%d cases, want %d", len(rows), caseCount)
	}
}

// A table that is wrong is found out.
func TestCaseTableBites(t *testing.T) {
	t.Parallel()
	for _, c := range []caseRow{
		{"C01", "", "issue", "script/issue", ""},
		{"C01", "a limit", "", "script/issue", ""},
		{"C01", "a limit", "issue", "", ""},
		{"C01", "a limit", "issue", "script/no-such-script", ""},
		{"C01", "a limit", "issue", "timeline/no-such-timeline", ""},
		{"C01", "a limit", "issue", "storage/rules.TestThereIsNone", ""},
		{"C01", "a limit", "issue", "looked at", ""},
	} {
		if len(c.faults()) == 0 {
			t.Errorf("%+v is taken", c)
		}
	}
	if len((caseRow{"C01", "a limit", "nothing yet", "", "all of it"}).faults()) != 0 {
		t.Error("a case that says what is missing is not taken")
	}
}
