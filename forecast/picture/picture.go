// Package picture draws what weeks need of items against what is on the shelf:
// as text for a terminal, and as SVG or PNG.
package picture

import "math"

// Outlook is one item over the weeks.
type Outlook struct {
	Item  string
	Unit  string // of the amounts: rods, kg
	Weeks []Week // in order of time
}

// Week is what one week needs, and what the stock would cover of it.
type Week struct {
	Label  string
	Likely float64 // half of the time no more is needed (P50)
	High   float64 // nine times of ten no more is needed (P90); at least Likely
	Stock  float64 // usable when the week begins
}

// high is the week's upper figure: a week without a range has one figure.
func (w Week) high() float64 { return max(w.High, w.Likely) }

// Short reports whether the stock does not cover even the likely need.
func (w Week) Short() bool { return w.Stock < w.Likely }

// Doubtful reports whether the stock covers the likely need and not the high one.
func (w Week) Doubtful() bool { return !w.Short() && w.Stock < w.high() }

// ranged reports whether any week has a range.
func ranged(all []Outlook) bool {
	for _, o := range all {
		for _, w := range o.Weeks {
			if w.high() > w.Likely {
				return true
			}
		}
	}
	return false
}

// top is the largest need of the item's weeks.
func (o Outlook) top() float64 {
	top := 0.0
	for _, w := range o.Weeks {
		top = math.Max(top, w.high())
	}
	return top
}
