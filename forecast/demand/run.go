package demand

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// run is a simulation while it is drawn. A cell is one item in one week; the
// cells of a week lie together.
type run struct {
	Chances
	allow  Allowances
	works  []work
	items  []joint.Item
	weeks  []measure.Week
	placed []placed // of each work
	late   []int    // weeks of each job, in one draw
	random [sources]*rand.Rand
	expect []float64   // of each cell: its mean before what use has taught
	draws  [][]float64 // of each cell: the pieces of each draw
	now    []float64   // of each cell: the pieces of one draw
	alone  [sources]lone
}

// placed says where a work counts.
type placed struct {
	job, week int
	items     []int // of its takes
}

// lone is what one source makes by itself: of each cell.
type lone struct{ now, sums, squares []float64 }

func newRun(works []work, a Allowances, c Chances) *run {
	r := &run{Chances: c, allow: a, works: works}
	known := map[joint.Item]bool{}
	for _, w := range works {
		for _, k := range w.takes {
			known[k.item] = true
		}
	}
	for i := range c.Unplanned {
		known[i] = true
	}
	r.items = slices.SortedFunc(maps.Keys(known), joint.Item.Compare)
	for s := range sources {
		r.random[s] = stream(c.Seed, s)
	}
	return r
}

// span sets the weeks. Without a first one given the last one is where it starts
// to look for the first joint.
func (r *run) span(from, to measure.Week) {
	if from == (measure.Week{}) {
		from = to
	}
	for _, w := range r.works {
		if w.week.Before(from) {
			from = w.week
		}
	}
	for w := from; !to.Before(w); w = w.Next() {
		r.weeks = append(r.weeks, w)
	}
}

// set places the works and makes room for the draws.
func (r *run) set() {
	jobs, week := map[string]int{}, map[measure.Week]int{}
	for i, w := range r.weeks {
		week[w] = i
	}
	n := len(r.weeks) * len(r.items)
	r.expect, r.now = make([]float64, n), make([]float64, n)
	for _, w := range r.works {
		p := placed{week: len(r.weeks)} // after the last: not counted
		if i, ok := week[w.week]; ok {
			p.week = i
		}
		if _, ok := jobs[w.job]; !ok {
			jobs[w.job] = len(jobs)
		}
		p.job = jobs[w.job]
		for _, k := range w.takes {
			i, _ := slices.BinarySearchFunc(r.items, k.item, joint.Item.Compare)
			p.items = append(p.items, i)
			if c := r.cell(p.week, i); c < n {
				r.expect[c] += k.expected(w.volume) * r.allow.factor()
			}
		}
		r.placed = append(r.placed, p)
	}
	r.late = make([]int, len(jobs))
	r.draws = make([][]float64, n)
	for c := range r.draws {
		r.draws[c] = make([]float64, r.Draws)
	}
	for s := range sources {
		r.alone[s] = lone{make([]float64, n), make([]float64, n), make([]float64, n)}
	}
}

func (r *run) cell(week, item int) int { return week*len(r.items) + item }

// draw makes one draw of all joints.
func (r *run) draw(d int) {
	r.drawLate()
	rate := min(1, drawGamma(r.random[Repairs], r.allow.Repair, repairVaries*r.allow.Repair))
	miss := math.Log1p(-rate)
	for i := range r.works {
		w := &r.works[i]
		v := w.volume.drawMean(r.random[FitUp], w.welds)
		again := 0.0
		if rate > 0 {
			again = drawHits(r.random[Repairs], w.welds, rate, miss) / float64(w.welds)
		}
		r.add(&r.placed[i], w, v, again)
	}
	for c, n := range r.now {
		r.draws[c][d], r.now[c] = n, 0
	}
	for _, s := range [...]Source{FitUp, Repairs, Lateness} {
		r.alone[s].note()
	}
}

// add counts a work in its week: with all sources, and with each by itself, the
// others at their means.
func (r *run) add(p *placed, w *work, v, again float64) {
	lost := 1 + r.allow.Handling
	n := len(r.now)
	for i, k := range w.takes {
		mean, fitted := k.expected(w.volume), k.at(v, w.volume)
		if c := r.cell(p.week+r.late[p.job], p.items[i]); c < n {
			r.now[c] += fitted * (1 + again) * lost
			r.alone[Lateness].now[c] += mean * (1 + r.allow.Repair) * lost
		}
		if c := r.cell(p.week, p.items[i]); c < n {
			r.alone[FitUp].now[c] += fitted * (1 + r.allow.Repair) * lost
			r.alone[Repairs].now[c] += mean * (1 + again) * lost
		}
	}
}

func (r *run) drawLate() {
	if len(r.Late) == 0 {
		return
	}
	for i := range r.late {
		r.late[i] = drawIndex(r.random[Lateness], r.Late)
	}
}

// note adds the draw to the sums and starts the next one.
func (l *lone) note() {
	for c, n := range l.now {
		l.sums[c] += n
		l.squares[c] += n * n
		l.now[c] = 0
	}
}

// variance of what a source makes of a cell by itself. The last digits of a
// difference of sums are no spread.
func (l *lone) variance(c, draws int) float64 {
	n := float64(draws)
	mean := l.sums[c] / n
	v := l.squares[c]/n - mean*mean
	if v < 1e-9*mean*mean {
		return 0
	}
	return v
}
