package demand

// Method is a way to forecast use that no joint explains: the pieces of a coming
// week from those of the past ones, the oldest first.
type Method string

// The methods.
const (
	PlainMean Method = "mean"
	SES       Method = "SES"
	Croston   Method = "Croston"
	SBA       Method = "SBA"
	SBJ       Method = "SBJ"
	TSB       Method = "TSB"
)

// Smoothing is the weight of the newest figure, as the published examples have
// it.
const Smoothing = 0.1

// Methods returns all methods, the plainest first.
func Methods() []Method { return []Method{PlainMean, SES, Croston, SBA, SBJ, TSB} }

// Forecast returns the pieces of a coming week; zero where there is no past one.
func (m Method) Forecast(past []float64, weight float64) float64 {
	if len(past) == 0 {
		return 0
	}
	switch m {
	case SES:
		return smoothed(past, weight)
	case Croston:
		return ReadIntervals(past, weight).perWeek()
	case SBA:
		return (1 - weight/2) * ReadIntervals(past, weight).perWeek()
	case SBJ:
		return (1 - weight/(2-weight)) * ReadIntervals(past, weight).perWeek()
	case TSB:
		return chanceTimesSize(past, weight)
	case PlainMean:
	}
	return sum(past) / float64(len(past))
}

// smoothed is simple exponential smoothing from the first figure:
// l + a (y - l).
func smoothed(past []float64, weight float64) float64 {
	level := past[0]
	for _, y := range past[1:] {
		level += weight * (y - level)
	}
	return level
}

// Intervals are a series as Croston (1972) sees it.
type Intervals struct {
	Gaps, Sizes []float64 // weeks since the use before, the first from the start; pieces
	Gap, Size   float64   // smoothed; zero where nothing was used
}

// ReadIntervals takes a series apart into how long it was to each use, and how
// much that was, and smooths both when there is a use, from the first of each.
func ReadIntervals(past []float64, weight float64) Intervals {
	var v Intervals
	since := 0.0
	for _, y := range past {
		since++
		if y <= 0 {
			continue
		}
		v.Gaps, v.Sizes = append(v.Gaps, since), append(v.Sizes, y)
		if len(v.Sizes) == 1 {
			v.Gap, v.Size = since, y
		}
		v.Gap += weight * (since - v.Gap)
		v.Size += weight * (y - v.Size)
		since = 0
	}
	return v
}

func (v Intervals) perWeek() float64 {
	if v.Gap == 0 {
		return 0
	}
	return v.Size / v.Gap
}

// chanceTimesSize is the method of Teunter, Syntetos and Babai (2011), which
// falls while nothing is used: the chance of a use is smoothed each week, from
// the part of weeks that had one, and its size when there is one, from the first.
func chanceTimesSize(past []float64, weight float64) float64 {
	sizes := ReadIntervals(past, weight)
	chance := float64(len(sizes.Sizes)) / float64(len(past))
	for _, y := range past {
		hit := 0.0
		if y > 0 {
			hit = 1
		}
		chance += weight * (hit - chance)
	}
	return chance * sizes.Size
}

// Pattern is how a series comes, by the cut-offs of Syntetos, Boylan and Croston
// (2005): weeks between uses of 1.32, squared variation of their sizes of 0.49.
type Pattern string

// The patterns.
const (
	NoUse        Pattern = "none"
	Smooth       Pattern = "smooth"
	Erratic      Pattern = "erratic"
	Intermittent Pattern = "intermittent"
	Lumpy        Pattern = "lumpy"
)

// PatternOf returns a series' pattern, its weeks for each use, and the squared
// coefficient of variation of the sizes.
func PatternOf(past []float64) (p Pattern, gap, variation float64) {
	sizes := ReadIntervals(past, Smoothing).Sizes
	if len(sizes) == 0 {
		return NoUse, 0, 0
	}
	gap = float64(len(past)) / float64(len(sizes))
	mean, deviation := moments(sizes)
	if len(sizes) > 1 {
		variation = square(deviation / mean)
	}
	rare, varied := gap >= 1.32, variation >= 0.49
	switch {
	case rare && varied:
		return Lumpy, gap, variation
	case rare:
		return Intermittent, gap, variation
	case varied:
		return Erratic, gap, variation
	}
	return Smooth, gap, variation
}
