package app

import (
	"strings"
	"testing"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
)

// TestALargePlanSaysWhyNothingIsDrawn holds at the limit: one line more is said.
func TestALargePlanSaysWhyNothingIsDrawn(t *testing.T) {
	t.Parallel()
	var o Purchase
	if err := o.simulate(demand.Input{Joints: make([]joint.Joint, mostDrawn+1)}, nil, &group{}); err != nil {
		t.Fatal(err)
	}
	if len(o.Notes) != 1 || !strings.Contains(o.Notes[0], "20001 lines") || len(o.draws) != 0 {
		t.Errorf("notes %q, draws %v: want why there are none", o.Notes, o.draws)
	}
}
