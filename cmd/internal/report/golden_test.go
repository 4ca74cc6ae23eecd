package report_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The ids of facts and the digests of rule sets are not the same each time.
var masks = []struct {
	form *regexp.Regexp
	as   string
}{
	{regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}`), "<id>"},
	{regexp.MustCompile(`[0-9a-f]{64}`), "<digest>"},
	{regexp.MustCompile(`-{60,}`), "<rule>"},
	{regexp.MustCompile(` +\n`), "\n"},
}

func masked(s string) string {
	for _, m := range masks {
		s = m.form.ReplaceAllString(s, m.as)
	}
	return strings.ReplaceAll(s, " \n", "\n")
}

// golden compares with a file, or writes it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", "golden", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}

func printed(t *testing.T, m report.Made, f show.Format, part string) string {
	t.Helper()
	var out bytes.Buffer
	if err := m.Print(&show.Printer{W: &out, Format: f}, part, measure.SI); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// What is printed of the yard's two days is as it was looked through by hand.
func TestReportsAsPrinted(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := yard(t, open())
		for _, r := range report.All() {
			golden(t, r.Name+".txt", masked(printed(t, made(t, a, r.Name, days(t)), show.AsTable, "")))
		}
	})
}

// The names of reports, parts and columns are an interface: programs and
// spreadsheets rest on them.
func TestColumnsAreStable(t *testing.T) {
	t.Parallel()
	var out strings.Builder
	a := yard(t, dbtest.SQLite(t))
	for _, r := range report.All() {
		m := made(t, a, r.Name, days(t))
		for _, p := range m.Parts {
			head, _, _ := strings.Cut(printed(t, m, show.AsCSV, p.Name), "\n")
			fmt.Fprintf(&out, "%s/%s: %s\n", r.Name, p.Name, head)
		}
	}
	golden(t, "columns.txt", out.String())
}
