package demand

import (
	"math"

	"ovenward/inventory/measure"
)

// Ratio is what is used over what the plan makes one expect.
type Ratio struct {
	Mean      float64
	Deviation float64 // how well the mean is known
	Scatter   float64 // of single weeks about the mean, over the mean; zero is not known
	Weeks     int     // that taught it
	Raw       float64 // the ratio of those weeks alone; zero where there are none
}

// UntaughtRatio is that of a shop that has no history: the tables as they are,
// known to a fifth. Published efficiencies of one rod differ by 13 % and fillet
// tables by 21 % (from memory: no published figure for the whole).
var UntaughtRatio = Ratio{Mean: 1, Deviation: 0.2}

// What single weeks are taken to scatter by before any were seen, over the mean,
// and for how many weeks that counts. From memory.
const (
	scatterBefore = 0.4
	weeksBefore   = 4
)

// Week is one past week of an item.
type Week struct {
	Week     measure.Week
	Expected float64 // pieces by the plan that was in force, as Likely has it
	Used     float64 // pieces on slips for joints
}

// LearnRatio draws the ratio from past weeks, in any order. Weeks count by what
// was expected in them, and weeks in which nothing was do not count. Few weeks
// are drawn toward UntaughtRatio: two normal estimates of one figure, weighted
// by their variances.
func LearnRatio(weeks []Week) Ratio {
	var expected, used, squares float64
	n := 0
	for _, w := range weeks {
		if w.Expected > 0 {
			expected, used, squares = expected+w.Expected, used+w.Used, squares+w.Expected*w.Expected
			n++
		}
	}
	if n == 0 {
		return UntaughtRatio
	}
	raw := used / expected
	scatter := scatterAbout(raw, weeks, expected*expected/squares, expected)
	before := 1 / square(UntaughtRatio.Deviation)
	seen := expected * expected / squares / square(scatter*max(raw, UntaughtRatio.Mean/2))
	return Ratio{
		Mean:      (before*UntaughtRatio.Mean + seen*raw) / (before + seen),
		Deviation: math.Sqrt(1 / (before + seen)),
		Scatter:   scatter, Weeks: n, Raw: raw,
	}
}

// scatterAbout returns the deviation of single weeks about the ratio, over it,
// pooled with scatterBefore.
func scatterAbout(raw float64, weeks []Week, effective, expected float64) float64 {
	var squares float64
	for _, w := range weeks {
		if w.Expected > 0 {
			squares += w.Expected / expected * square(w.Used/w.Expected-raw)
		}
	}
	relative := 0.0
	if raw > 0 {
		relative = squares / square(raw) * effective // times effective-1 over effective-1
	}
	return math.Sqrt((weeksBefore*square(scatterBefore) + relative) / (weeksBefore + max(0, effective-1)))
}

func square(x float64) float64 { return x * x }
