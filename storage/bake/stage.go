package bake

import (
	"strings"

	"ovenward/inventory/measure"
)

// StageKind is a part of a run in a bake oven.
type StageKind string

// The parts, in their order. After is what followed the soak.
const (
	Presoak StageKind = "pre-soak"
	Ramp    StageKind = "ramp"
	LoadLag StageKind = "load lag"
	Soak    StageKind = "soak"
	After   StageKind = "after"
)

// Stage is a part of a run with its times. The stages of a run follow each
// other without a gap; one that is missing has no length.
type Stage struct {
	Kind      StageKind
	From, To  measure.Instant
	Asked     measure.Duration    // zero: nothing
	Proven    measure.Duration    // of what is asked
	Low, High measure.Temperature // of the readings in it
	Read      bool                // there were readings
	Failed    string              // what is wrong with it, empty for nothing
}

// stages parts a run around its longest soak.
func (j judge) stages(found faults) []Stage {
	end := max(j.To, j.points[len(j.points)-1].at)
	main, soaked := longest(j.proven), len(j.proven) > 0
	if !soaked {
		main, soaked = longest(j.possible), len(j.possible) > 0
	}
	if !soaked {
		main.from, main.to = end, end
	}
	var all []Stage
	from := j.From
	until := func(k StageKind, to measure.Instant) *Stage {
		all = append(all, j.read(Stage{Kind: k, From: from, To: max(from, to)}))
		from = all[len(all)-1].To
		return &all[len(all)-1]
	}
	if j.Row.Presoak > 0 {
		length, hot := j.presoak()
		s := until(Presoak, min(j.coolUntil(hot, end), main.from))
		s.Asked, s.Proven = j.Row.Presoak, length
	}
	if from < main.from {
		until(Ramp, main.from)
	}
	if soaked {
		if lag := min(j.by.lag, main.to.Sub(main.from)); lag > 0 {
			s := until(LoadLag, main.from.Add(lag))
			s.Asked, s.Proven = j.by.lag, lag
		}
		s := until(Soak, main.to)
		s.Asked, s.Proven = j.Row.Soak, longest(j.proven).length
	}
	if from < end {
		until(After, end)
	}
	blame(all, found)
	return all
}

// coolUntil returns the last instant at which the load is known to have been
// no hotter than the pre-soak may be.
func (j judge) coolUntil(hot int, end measure.Instant) measure.Instant {
	switch hot {
	case 0:
		return j.From
	case len(j.points):
		return end
	}
	return j.points[hot-1].at
}

// read fills in what the readings in a stage show.
func (j judge) read(s Stage) Stage {
	for _, p := range j.points {
		switch {
		case p.at < s.From || p.at > s.To:
		case !s.Read:
			s.Low, s.High, s.Read = p.low(), p.high, true
		default:
			s.Low, s.High = min(s.Low, p.low()), max(s.High, p.high)
		}
	}
	return s
}

// blame gives each fault to the stage that it is about. What a stage that did
// not come about lacks is said of the last one before it.
func blame(all []Stage, found faults) {
	why := make([][]string, len(all))
	for _, f := range found {
		if i := f.of.index(all); i >= 0 {
			why[i] = append(why[i], f.why)
		}
	}
	for i := range all {
		all[i].Failed = strings.Join(why[i], "; ")
	}
}

// locus is where in a run a fault lies: in a stage, at an instant, or nowhere.
type locus struct {
	kind StageKind
	at   measure.Instant
}

var nowhere = locus{}

func in(k StageKind) locus       { return locus{kind: k} }
func at(t measure.Instant) locus { return locus{at: t} }

// index returns which of the stages a fault is about, below zero for none.
func (l locus) index(all []Stage) int {
	if l == nowhere {
		return -1
	}
	last := -1
	for i, s := range all {
		if s.Kind == l.kind || (l.kind == "" && l.at >= s.From && l.at <= s.To) {
			return i
		}
		if l.kind == "" || s.Kind != After {
			last = i
		}
	}
	return last
}
