package metal

import (
	"fmt"
	"math"

	"ovenward/forecast/joint"
)

// shareTolerance is how far written shares may be from a whole: enough for
// three times 33.3 %, too little for a forgotten pass. The shares are then
// stretched to a whole, so that no metal is lost.
const shareTolerance = 0.0011

// Split returns the part of a weld's metal that each pass fills, in order; the
// parts add up to 1. A share is a part of the volume. Beads are counted by
// their cross section over that of the weld, around a pipe too, where root beads
// are a little shorter than that. Layers are counted from the root. The pass with
// none of them takes the rest. The rods are those of the passes, in order.
//
// The error is an *joint.UncomputedError: no pass, two rests, shares that are
// no whole, no bead area, or more beads or layers than the weld holds.
func Split(passes []joint.Pass, w joint.Weld, rods []Rod) ([]float64, error) {
	if len(passes) == 0 {
		return nil, &joint.UncomputedError{
			Reason: joint.UnknownItem, Field: "item1", Why: "no item is given",
			Write: "the class of the rods, such as E7018",
		}
	}
	if by, err := byLayers(passes); by || err != nil {
		if err != nil {
			return nil, err
		}
		return layered(passes, w, rods)
	}
	parts := make([]float64, len(passes))
	rest, taken := -1, 0.0
	for i, p := range passes {
		switch {
		case !p.Rest():
			part, err := partOf(p, w, rods[i])
			if err != nil {
				return nil, badSplit(i, p, err.Error())
			}
			parts[i] = part
			taken += part
		case rest >= 0:
			return nil, badSplit(i, p, fmt.Sprintf("item%d takes the rest already", rest+1))
		default:
			rest = i
		}
	}
	return whole(passes, parts, rest, taken)
}

// whole gives the rest what is left, or stretches shares that are nearly whole.
func whole(passes []joint.Pass, parts []float64, rest int, taken float64) ([]float64, error) {
	last := len(parts) - 1
	switch {
	case rest >= 0 && taken >= 1:
		return nil, badSplit(rest, passes[rest], fmt.Sprintf("nothing is left: the others fill %.1f %%", taken*100))
	case rest >= 0:
		parts[rest] = 1 - taken
	case math.Abs(taken-1) > shareTolerance:
		return nil, badSplit(last, passes[last], fmt.Sprintf("the passes fill %.1f %%, not 100 %%", taken*100))
	default:
		for i := range parts {
			parts[i] /= taken
		}
	}
	return parts, nil
}

// partOf returns the part of the weld that a share or a number of beads fills.
func partOf(p joint.Pass, w joint.Weld, r Rod) (float64, error) {
	if p.Beads == 0 {
		if !(p.Share > 0 && p.Share <= 1) {
			return 0, fmt.Errorf("a share of %v is not above 0 and at most 1", p.Share)
		}
		return p.Share, nil
	}
	if p.Beads < 0 || p.Share != 0 {
		return 0, fmt.Errorf("%d beads and a share of %v", p.Beads, p.Share)
	}
	bead := r.Bead()
	if bead <= 0 {
		return 0, fmt.Errorf("the bead area of %s is not known", r.Item)
	}
	part := float64(p.Beads) * float64(bead) / float64(w.Section.Area())
	if part > 1 {
		return 0, fmt.Errorf("%d beads of %.1f mm2 are more than the weld's %.1f mm2",
			p.Beads, float64(bead), float64(w.Section.Area()))
	}
	return part, nil
}

func badSplit(i int, p joint.Pass, why string) error {
	return &joint.UncomputedError{
		Reason: joint.BadSplit, Field: fmt.Sprintf("item%d", i+1), Value: p.Item.String(), Why: why,
		Write: "shares that add up to 100 %, numbers of beads or of layers, and one item that takes the rest",
	}
}
