package register_test

import (
	"strings"
	"testing"

	"ovenward/storage/register"
)

// FuzzRead feeds any bytes. Whatever they are, the reader ends, every row is an
// act, a problem or both told once, and acts rest on acts before them.
func FuzzRead(f *testing.F) {
	for _, k := range register.Kinds() {
		f.Add(string(k), register.Template(k), "", "")
	}
	f.Add("issue", "Day;Out;Qty\n04.02.2026;07:10;40\n", "Day=date,Out=time", "welder=W3")
	f.Add("stock", "time,class,package\n\"x,y\n", "1=-", "pieces=4")
	f.Add("log", "what,time\nissue,2025-11-02 01:30\noven,x\n", "", "package=loose")
	z := halifax(f)
	f.Fuzz(func(t *testing.T, kind, text, columns, fixed string) {
		k, err := register.ParseKind(kind)
		if err != nil {
			return
		}
		m := register.Mapping{}
		if m.Columns, err = register.ParsePairs(columns); err != nil {
			return
		}
		if m.Fixed, err = register.ParsePairs(fixed); err != nil {
			return
		}
		_, _, _ = register.Readings([]byte(text), m)
		r, err := register.Read(strings.NewReader(text), k, m, z)
		if err != nil {
			return
		}
		told := map[int]bool{}
		for i, a := range r.Acts {
			if a.After >= i || a.Row < 1 || a.Row > r.Rows || len(a.Entries) == 0 {
				t.Fatalf("act %d of %d rows: %+v", i, r.Rows, a)
			}
			told[a.Row] = true
		}
		if len(told)+len(r.Problems) != r.Rows {
			t.Errorf("%d rows with acts and %d problems, want %d in all", len(told), len(r.Problems), r.Rows)
		}
	})
}
