package demand

import (
	"cmp"
	"math"
	"slices"

	"ovenward/forecast/joint"
)

// teach multiplies the draws by what use has taught: the ratio, the same in all
// weeks of a draw, and what single weeks differ by beyond the spread that the
// draws have already.
func (r *run) teach() {
	for i, item := range r.items {
		ratio := r.ratio(item)
		beyond := r.beyond(i, ratio.Scatter)
		for d := range r.Draws {
			k := drawGamma(r.random[Habit], ratio.Mean, ratio.Deviation)
			for w := range r.weeks {
				if n := &r.draws[r.cell(w, i)][d]; *n > 0 {
					*n *= k * drawGamma(r.random[Weeks], 1, beyond)
				}
			}
		}
		for w := range r.weeks {
			c := r.cell(w, i)
			for _, s := range [...]Source{FitUp, Repairs, Lateness} { // what they make, the ratio makes larger
				r.alone[s].sums[c] *= ratio.Mean
				r.alone[s].squares[c] *= square(ratio.Mean)
			}
			r.alone[Habit].set(square(r.expect[c]*ratio.Deviation), c, r.Draws)
			r.alone[Weeks].set(square(r.expect[c]*ratio.Mean*beyond), c, r.Draws)
		}
	}
}

// set gives a cell a variance that is known without draws.
func (l *lone) set(variance float64, c, draws int) { l.squares[c] = variance * float64(draws) }

func (r *run) ratio(i joint.Item) Ratio {
	if k, ok := r.Ratios[i]; ok {
		return k
	}
	return UntaughtRatio
}

// beyond returns the scatter of weeks that the draws of an item do not have:
// both as deviation over the mean, that of the draws over all its weeks.
func (r *run) beyond(item int, scatter float64) float64 {
	var squares, means float64
	for w := range r.weeks {
		mean, deviation := moments(r.draws[r.cell(w, item)])
		squares += deviation * deviation
		means += mean * mean
	}
	if means == 0 {
		return 0
	}
	return math.Sqrt(max(0, scatter*scatter-squares/means))
}

// addFree adds the use that no joint explains: in each week of a draw nothing,
// or what a past week took, as often and scaled so that its mean is the forecast.
func (r *run) addFree() {
	for i, item := range r.items {
		sizes, chance, scale := r.free(item)
		if chance == 0 {
			continue
		}
		for w := range r.weeks {
			c := r.cell(w, i)
			l := &r.alone[Unplanned]
			for d := range r.Draws {
				n := 0.0
				if r.random[Unplanned].Float64() < chance {
					n = sizes[r.random[Unplanned].IntN(len(sizes))] * scale
				}
				r.draws[c][d] += n
				l.sums[c] += n
				l.squares[c] += n * n
			}
		}
	}
}

func (r *run) free(i joint.Item) (sizes []float64, chance, scale float64) {
	return freeOf(r.Chances.Unplanned[i], r.usual(i))
}

// freeOf returns what weeks with such use took, how often there is one, and what
// scales them to the forecast.
func freeOf(past []float64, usual float64) (sizes []float64, chance, scale float64) {
	for _, n := range past {
		if n > 0 {
			sizes = append(sizes, n)
		}
	}
	if len(sizes) == 0 || usual <= 0 {
		return nil, 0, 0
	}
	size := sum(sizes) / float64(len(sizes))
	chance = min(1, usual/size)
	return sizes, chance, usual / (chance * size)
}

func (r *run) usual(i joint.Item) float64 {
	if n, ok := r.Usual[i]; ok {
		return n
	}
	if past := r.Chances.Unplanned[i]; len(past) > 0 {
		return sum(past) / float64(len(past))
	}
	return 0
}

// result reads the draws.
func (r *run) result() Simulated {
	s := Simulated{Seed: r.Seed, Draws: r.Draws,
		By: map[joint.Item][]Share{}, Used: map[joint.Item]Ratio{}, Free: map[joint.Item]float64{}}
	for w, week := range r.weeks {
		for i, item := range r.items {
			c := r.cell(w, i)
			l := Likely{Week: week, Item: item, Expected: r.expect[c], Draws: r.draws[c]}
			l.Mean, l.Deviation = moments(l.Draws)
			if l.Mean == 0 && l.Expected == 0 {
				continue
			}
			ordered := slices.Sorted(slices.Values(l.Draws))
			l.P50, l.P90 = wholePieces(Quantile(ordered, 0.5)), wholePieces(Quantile(ordered, 0.9))
			s.Weeks = append(s.Weeks, l)
		}
	}
	for i, item := range r.items {
		s.By[item], s.Used[item], s.Free[item] = r.shares(i), r.ratio(item), r.usual(item)
	}
	return s
}

// shares adds the variances of an item's weeks up by source.
func (r *run) shares(item int) []Share {
	var shares []Share
	var all float64
	for s := range sources {
		var v float64
		for w := range r.weeks {
			v += r.alone[s].variance(r.cell(w, item), r.Draws)
		}
		if v > 0 {
			shares = append(shares, Share{s, v})
			all += v
		}
	}
	for i := range shares {
		shares[i].Part /= all
	}
	slices.SortStableFunc(shares, func(a, b Share) int { return cmp.Compare(b.Part, a.Part) })
	return shares
}
