package register_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/inventory/sheet"
	"ovenward/storage/register"
)

// A register that was kept in a spreadsheet tells the same as when it is saved
// as CSV.
func TestARegisterInAWorkbook(t *testing.T) {
	t.Parallel()
	z := halifax(t)
	for _, k := range []register.Kind{register.Stock, register.Receiving, register.Issue, register.Return, register.Bake} {
		page, err := sheet.PageOf(string(k), register.Template(k))
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := sheet.WriteXLSX(&b, page); err != nil {
			t.Fatal(err)
		}
		want, err := register.Read(strings.NewReader(register.Template(k)), k, register.Mapping{}, z)
		if err != nil {
			t.Fatal(err)
		}
		got, err := register.Read(&b, k, register.Mapping{}, z)
		if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(register.Register{})); diff != "" || err != nil {
			t.Errorf("%s: %v (-CSV +XLSX):\n%s", k, err, diff)
		}
	}
}
