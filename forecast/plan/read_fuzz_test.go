package plan_test

import (
	"strings"
	"testing"

	"ovenward/forecast/demand"
	"ovenward/forecast/metal"
	"ovenward/forecast/plan"
)

// FuzzRead holds that no text makes the reader or the forecast fail, that joints
// which load are whole, that problems say where and what to write, and that
// masses are never below zero.
func FuzzRead(f *testing.F) {
	f.Add(plan.Template())
	f.Add(smallHeader + smallRow)
	f.Add("\ufeff" + strings.ReplaceAll(smallHeader+smallRow, ",", ";"))
	f.Add(strings.ReplaceAll(smallHeader+smallRow, ",", "\t"))
	f.Add(smallHeader + "Tank 3,T1,2026-W49,fillet,=1+1,2 m,3,E7018,\"1/8\"\"\",rest,\n")
	f.Add(smallHeader + "Tank 3,T1,2026-W49,fillet,9999999999 m,9999999999 m,1000000,E7018,1/8 in,,10000\n")
	f.Add(smallHeader + smallRow + `"`)
	c, err := metal.Default()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := plan.Read(strings.NewReader(text))
		if err != nil {
			if len(p.Joints)+len(p.Problems)+len(p.Warnings) > 0 {
				t.Errorf("a plan beside the error %v", err)
			}
			return
		}
		for _, b := range p.Problems {
			if b.Row < 2 || b.Column == "" || b.Reason == "" || b.Write == "" {
				t.Errorf("problem %+v lacks a part", b)
			}
		}
		for _, j := range p.Joints {
			if j.Job == "" || j.ID == "" || j.Week.Year == 0 || j.Preparation == "" || j.Quantity < 1 {
				t.Errorf("joint %+v is not whole", j)
			}
		}
		got, err := demand.Make(demand.Input{Joints: p.Joints, Catalogue: c})
		if err != nil {
			t.Fatal(err)
		}
		if got.Computed+len(got.NotComputed) != len(p.Joints) {
			t.Errorf("%d computed and %d not, of %d joints", got.Computed, len(got.NotComputed), len(p.Joints))
		}
		for _, l := range got.Lines {
			if l.Pieces < 0 || l.Deposited < 0 || l.Purchased < 0 {
				t.Errorf("line %+v is below zero", l)
			}
		}
	})
}
