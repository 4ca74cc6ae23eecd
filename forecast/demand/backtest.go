package demand

import (
	"math"
	"slices"
)

// Score is how a method would have done in past weeks, each forecast from those
// before it.
type Score struct {
	Method  Method
	MASE    float64 // mean absolute error over that of taking the week before
	Pinball float64 // loss of its P90, with the factor 2
}

// firstJudged is how many weeks a backtest learns from before it judges.
const firstJudged = 8

// fewestJudged is how many weeks must be judged before a method is chosen by it.
const fewestJudged = 4

// Choose returns the method whose P90 would have lost least in the past weeks,
// the plainer one of equals, and the scores of all. Orders are made by the P90;
// by the mean error a method that says nothing comes would win wherever most
// weeks have none. Of fewer than twelve weeks it is the plain mean, and there
// are no scores.
func Choose(past []float64) (Method, []Score) {
	if len(past) < firstJudged+fewestJudged {
		return PlainMean, nil
	}
	var scores []Score
	best := Score{Method: PlainMean, Pinball: math.Inf(1)}
	for _, m := range Methods() {
		s := backtest(m, past)
		scores = append(scores, s)
		if s.Pinball < best.Pinball-1e-12 {
			best = s
		}
	}
	return best.Method, scores
}

func backtest(m Method, past []float64) Score {
	s := Score{Method: m}
	var forecasts []float64
	for t := firstJudged; t < len(past); t++ {
		f := m.Forecast(past[:t], Smoothing)
		forecasts = append(forecasts, f)
		s.Pinball += Pinball(0.9, freeQuantile(past[:t], f, 0.9), past[t])
	}
	s.Pinball /= float64(len(forecasts))
	s.MASE = MASE(past[:firstJudged], past[firstJudged:], forecasts)
	return s
}

// freeQuantile is the quantile of what addFree draws for a forecast.
func freeQuantile(past []float64, usual, p float64) float64 {
	sizes, chance, scale := freeOf(past, usual)
	if chance <= 1-p {
		return 0
	}
	slices.Sort(sizes)
	at := 1 - (1-p)/chance
	return scale * sizes[max(0, int(math.Ceil(at*float64(len(sizes))))-1)]
}

// MASE is the mean absolute error of forecasts over the mean step from each of
// the figures learnt from to the next (Hyndman and Koehler 2006). It is not a
// number where these do not step.
func MASE(learnt, actual, forecasts []float64) float64 {
	var steps, errors float64
	for i := range len(learnt) - 1 {
		steps += math.Abs(learnt[i+1] - learnt[i])
	}
	for i, y := range actual {
		errors += math.Abs(y - forecasts[i])
	}
	if steps == 0 {
		return math.NaN()
	}
	return errors / float64(len(actual)) / (steps / float64(len(learnt)-1))
}

// Pinball is the loss of a quantile that was forecast, with the factor 2 of
// Hyndman and Athanasopoulos (2021), section 5.9: for the median it is the
// absolute error.
func Pinball(p, forecast, actual float64) float64 {
	if actual < forecast {
		return 2 * (1 - p) * (forecast - actual)
	}
	return 2 * p * (actual - forecast)
}
