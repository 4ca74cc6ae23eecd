package demand

import (
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// work is a line of the plan as a simulation sees it.
type work struct {
	job    string
	week   measure.Week
	welds  int64
	volume triangle // of one weld, over its volume as drawn
	takes  []take
}

// take is what all welds of a line take of one item, in pieces, at the limits of
// fit-up and as drawn.
type take struct {
	item             joint.Item
	low, drawn, high float64
}

// at returns the pieces where the mean weld has so much of its drawn volume:
// between the limits in proportion.
func (k take) at(v float64, t triangle) float64 {
	switch {
	case v < t.mode:
		return k.drawn + (k.low-k.drawn)*(t.mode-v)/(t.mode-t.low)
	case v > t.mode:
		return k.drawn + (k.high-k.drawn)*(v-t.mode)/(t.high-t.mode)
	}
	return k.drawn
}

// expected returns the mean of at for one weld: a third of the way to a limit on
// the side where the weld lies.
func (k take) expected(t triangle) float64 {
	if t.low >= t.high {
		return k.drawn
	}
	below := (t.mode - t.low) / (t.high - t.low)
	return k.drawn + below/3*(k.low-k.drawn) + (1-below)/3*(k.high-k.drawn)
}

// works returns the lines of the plan that can be computed.
func (t *tally) works(joints []joint.Joint) []work {
	list := make([]work, 0, len(joints))
	for _, j := range joints {
		if w, err := t.work(j); err == nil {
			list = append(list, w)
		}
	}
	return list
}

func (t *tally) work(j joint.Joint) (work, error) {
	r, err := t.named.Resolve(j)
	if err != nil {
		return work{}, err
	}
	drawn, err := metal.Fill(r.Joint, t)
	if err != nil {
		return work{}, err
	}
	w := work{job: j.Job, week: j.Week, welds: j.Quantity, volume: triangle{1, 1, 1}}
	low, high := drawn, drawn
	switch {
	case r.Named != nil && r.Named.FitUp.Given():
		low, high = t.limit(r.Low, drawn), t.limit(r.High, drawn)
	case r.Joint.Preparation == joint.Fillet:
		high.Volume *= OverLeg
	}
	w.volume.low = min(1, float64(low.Volume/drawn.Volume))
	w.volume.high = max(1, float64(high.Volume/drawn.Volume))
	for rod, n := range drawn.Needs(1) {
		w.takes = append(w.takes, take{rod.Item, n.Pieces, n.Pieces, n.Pieces})
	}
	atLimit(w.takes, low, func(k *take, pieces float64) { k.low = pieces })
	atLimit(w.takes, high, func(k *take, pieces float64) { k.high = pieces })
	return w, nil
}

// atLimit gives takes what they are at a limit of fit-up, which divides the weld
// among the same items in the same order.
func atLimit(takes []take, f metal.Filled, give func(*take, float64)) {
	i := 0
	for _, n := range f.Needs(1) {
		give(&takes[i], n.Pieces)
		i++
	}
}

// limit computes a joint at a limit of its fit-up; as drawn where it cannot be
// made so.
func (t *tally) limit(j joint.Joint, drawn metal.Filled) metal.Filled {
	f, err := metal.Fill(j, t)
	if err != nil {
		return drawn
	}
	return f
}

// Expect returns what the plan makes one expect in each week, with its fit-up
// and allowances: the Expected of a simulation, without one.
func Expect(in Input) (map[measure.Week]map[joint.Item]float64, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	t := newTally(in)
	all := map[measure.Week]map[joint.Item]float64{}
	for _, w := range t.works(in.Joints) {
		if all[w.week] == nil {
			all[w.week] = map[joint.Item]float64{}
		}
		for _, k := range w.takes {
			all[w.week][k.item] += k.expected(w.volume) * t.factor
		}
	}
	return all, nil
}
