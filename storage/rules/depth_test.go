package rules_test

import (
	"errors"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// A maker's flux handbook: a layer of 1 to 2 in about an hour, a big container more
// than a day. The row for the shallowest layer that holds the load applies, of a
// load of unknown depth that for the deepest, and beyond all rows there is none.
func TestDepthOfFluxDecidesTheSoak(t *testing.T) {
	t.Parallel()
	layer, drum := row("layer", rules.House, 260, 538, measure.Hour), row("drum", rules.House, 260, 538, 24*measure.Hour)
	layer.MaxDepth, drum.MaxDepth = 2*measure.Inch, 12*measure.Inch
	for _, order := range [][]rules.BakeRow{{layer, drum}, {drum, layer}} {
		r := rules.Recipe{Rows: order}
		for depth, want := range map[measure.Length]measure.Duration{
			1: measure.Hour, 2 * measure.Inch: measure.Hour, 2*measure.Inch + 1: 24 * measure.Hour, 12 * measure.Inch: 24 * measure.Hour, 0: 24 * measure.Hour,
		} {
			if got, err := r.For(inventory.BakeOrder{Depth: depth}); err != nil || got.Soak != want {
				t.Errorf("%s deep: %v, %v, want a soak of %s", depth, got, err, want)
			}
		}
		_, err := r.For(inventory.BakeOrder{Depth: 12*measure.Inch + 1})
		if deep, ok := errors.AsType[*rules.DepthError](err); !ok || deep.Row.Row != "drum" {
			t.Errorf("deeper than the deepest: %v, want the error of row drum", err)
		}
	}
}
