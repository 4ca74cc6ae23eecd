package demand

import "math"

// Judged is one past week with what would have been forecast for it.
type Judged struct {
	Week
	Forecast float64 // by the ratio that the weeks before it had taught
}

// Hindsight forecasts each past week in which something was expected from those
// before it, in order.
func Hindsight(weeks []Week) []Judged {
	var list []Judged
	for i, w := range weeks {
		if w.Expected > 0 {
			list = append(list, Judged{w, w.Expected * LearnRatio(weeks[:i]).Mean})
		}
	}
	return list
}

// Accuracy returns the bias of forecasts, by how much of what was used they were
// too high, and their error, the mean of what they were off by over the mean use.
// Neither is a number where nothing was used.
func Accuracy(list []Judged) (bias, failure float64) {
	var used, over, off float64
	for _, j := range list {
		used += j.Used
		over += j.Forecast - j.Used
		off += math.Abs(j.Forecast - j.Used)
	}
	if used == 0 {
		return math.NaN(), math.NaN()
	}
	return over / used, off / used
}
