package demand

import "math"

// Judged is one past week with what would have been forecast for it.
type Judged struct {
	Week
	Forecast float64 // by the ratio that the weeks before it had taught, or as it was told
	High     float64 // the P90 that was told; zero: none was
}

// Hindsight forecasts each past week in which something was expected from those
// before it, in order.
func Hindsight(weeks []Week) []Judged {
	var list []Judged
	for i, w := range weeks {
		if w.Expected > 0 {
			list = append(list, Judged{Week: w, Forecast: w.Expected * LearnRatio(weeks[:i]).Mean})
		}
	}
	return list
}

// Track is how forecasts that were told did.
type Track struct {
	Weeks  int
	Bias   float64 // pieces a week by which they were too high
	MAE    float64 // pieces a week by which they were off
	MASE   float64 // that over the mean step of use from week to week; not a number where it does not step
	Within int     // weeks that took no more than the P90
}

// TrackOf judges forecasts that were told, in order of their weeks.
func TrackOf(list []Judged) Track {
	t := Track{Weeks: len(list), MASE: math.NaN()}
	if len(list) == 0 {
		return t
	}
	used, told := make([]float64, len(list)), make([]float64, len(list))
	for i, j := range list {
		used[i], told[i] = j.Used, j.Forecast
		t.Bias += (j.Forecast - j.Used) / float64(len(list))
		t.MAE += math.Abs(j.Forecast-j.Used) / float64(len(list))
		if j.Used <= j.High {
			t.Within++
		}
	}
	t.MASE = MASE(used, used, told)
	return t
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
