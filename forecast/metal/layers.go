package metal

import (
	"fmt"
	"math"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// ThickestLayer is the thickest layer of fill that AWS D1.1:2020 Table 5.1 allows
// for covered electrodes.
const ThickestLayer = 3 * measure.Length(measure.Inch) / 16

// Layer is one layer of a groove.
type Layer struct {
	Lift  int // the side of the groove, in the order in which they are filled
	Area  joint.Area
	Beads int64
	Pass  int // the pass that fills it

	From, To float64 // above the far face, in millimetres; To is below From where the lift goes down
}

// Layers estimates how a groove is filled: each side in equal layers, none
// thicker than ThickestLayer, each of as many beads as its area holds of the rod
// that fills it, at least one. Passes take the layers that they ask for, in
// order, and the last one what is left. A bead's area is known only roughly, so
// the number of beads is an estimate; the metal does not depend on it but where
// layers divide it among items.
//
// The error is an *joint.UncomputedError: a weld without layers, more layers
// asked for than there are, a rod whose bead is not known.
func Layers(w joint.Weld, passes []joint.Pass, rods []Rod) ([]Layer, error) {
	all := layersOf(w)
	if len(all) == 0 {
		return nil, badSplit(0, passes[0], "the weld has no layers: it lies between no two faces")
	}
	pass, left := 0, passes[0].Layers
	for i := range all {
		for left == 0 && pass < len(passes)-1 && passes[pass].Layers > 0 {
			pass++
			left = passes[pass].Layers
		}
		bead := rods[pass].Bead()
		if bead <= 0 {
			return nil, badSplit(pass, passes[pass], fmt.Sprintf("the bead area of %s is not known", rods[pass].Item))
		}
		all[i].Pass, all[i].Beads = pass, max(1, int64(math.Round(float64(all[i].Area/bead))))
		left = max(0, left-1)
	}
	if pass < len(passes)-1 || left > 0 {
		return nil, badSplit(pass, passes[pass], fmt.Sprintf("the groove has %d layers and the passes ask for more", len(all)))
	}
	return all, nil
}

// layersOf cuts a weld into layers of equal thickness on each side.
func layersOf(w joint.Weld) []Layer {
	var all []Layer
	for i, l := range w.Section.Lifts() {
		// A hair's breadth of rounding makes no layer more.
		n := int(math.Ceil(l.Height/ThickestLayer.Millimetres() - 1e-9))
		var below joint.Area
		for k := range n {
			filled := l.Below(l.Height * float64(k+1) / float64(n))
			if k == n-1 {
				filled = l.Area
			}
			from, to := l.Height*float64(k)/float64(n), l.Height*float64(k+1)/float64(n)
			if l.Down {
				from, to = -from, -to
			}
			all = append(all, Layer{Lift: i, Area: filled - below, From: l.Foot + from, To: l.Foot + to})
			below = filled
		}
	}
	return all
}

// Filling estimates how many layers a weld has, none where it lies between no two
// faces, and how many beads each pass makes, from the part of the metal that it
// fills; zero where a bead is not known.
func Filling(w joint.Weld, passes []joint.Pass, rods []Rod, parts []float64) (layers int, beads []int64) {
	beads = make([]int64, len(passes))
	if by, err := byLayers(passes); by && err == nil {
		if all, err := Layers(w, passes, rods); err == nil {
			for _, l := range all {
				beads[l.Pass] += l.Beads
			}
			return len(all), beads
		}
	}
	if all := Build(Filled{Weld: w, Rods: rods, Parts: parts}, passes); len(passes) == 1 && len(all) > 0 && passes[0].Beads == 0 {
		for _, l := range all {
			beads[0] += l.Beads
		}
		return len(all), beads
	}
	for i, r := range rods {
		switch bead := r.Bead(); {
		case passes[i].Beads > 0:
			beads[i] = passes[i].Beads
		case bead > 0 && w.Section.Area() > 0:
			beads[i] = max(1, int64(math.Round(parts[i]*float64(w.Section.Area()/bead))))
		}
	}
	return len(layersOf(w)), beads
}

// Build estimates the layers of a weld as a welder lays them, with the beads and
// the pass of each. Where the passes do not divide the weld by layers, a layer is
// of the pass that fills its middle. Nil where the weld lies between no two faces.
func Build(f Filled, passes []joint.Pass) []Layer {
	if by, err := byLayers(passes); by && err == nil {
		if all, err := Layers(f.Weld, passes, f.Rods); err == nil {
			return all
		}
	}
	all := layersOf(f.Weld)
	done := 0.0
	for i := range all {
		part := float64(all[i].Area / f.Weld.Section.Area())
		all[i].Pass = passAt(f.Parts, done+part/2)
		done += part
		if bead := f.Rods[all[i].Pass].Bead(); bead > 0 {
			all[i].Beads = max(1, int64(math.Round(float64(all[i].Area/bead))))
		}
	}
	return all
}

// passAt returns the pass that fills a weld when so much of it is done.
func passAt(parts []float64, done float64) int {
	for i, p := range parts {
		if done -= p; done < 0 {
			return i
		}
	}
	return len(parts) - 1
}

// layered returns the part of a weld's metal that each pass fills by its layers.
func layered(passes []joint.Pass, w joint.Weld, rods []Rod) ([]float64, error) {
	all, err := Layers(w, passes, rods)
	if err != nil {
		return nil, err
	}
	parts := make([]float64, len(passes))
	for _, l := range all {
		parts[l.Pass] += float64(l.Area / w.Section.Area())
	}
	return parts, nil
}

// byLayers reports whether passes divide the metal by layers; only the last may
// then say nothing, and none may mix ways.
func byLayers(passes []joint.Pass) (bool, error) {
	some := false
	for _, p := range passes {
		some = some || p.Layers != 0
	}
	if !some {
		return false, nil
	}
	for i, p := range passes {
		last := i == len(passes)-1
		switch {
		case p.Share != 0 || p.Beads != 0:
			return true, badSplit(i, p, "a share or beads beside layers")
		case p.Layers < 0 || (p.Layers == 0 && !last):
			return true, badSplit(i, p, fmt.Sprintf("%d layers; only the last item takes the rest", p.Layers))
		}
	}
	return true, nil
}
