package air

import (
	"cmp"
	"slices"
	"sort"

	"ovenward/inventory/measure"
)

// Observation is the air of a place as somebody read it at an instant.
type Observation struct {
	At  measure.Instant
	Air Air
}

// Log is what was read of the air of one place, in order of time. A nil Log has
// no reading: nothing is known of the air.
type Log struct{ list []Observation }

// NewLog returns the log of observations in any order; of two at one instant
// the last given counts.
func NewLog(list []Observation) *Log {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Observation) int { return cmp.Compare(a.At, b.At) })
	kept := list[:0]
	for _, o := range list {
		if n := len(kept); n > 0 && kept[n-1].At == o.At {
			kept[n-1] = o
			continue
		}
		kept = append(kept, o)
	}
	return &Log{list: kept}
}

// Known returns the log without what was read after an instant.
func (l *Log) Known(at measure.Instant) *Log {
	if l == nil {
		return nil
	}
	return &Log{list: l.list[:l.index(at+1)]}
}

// Observations returns what was read from one instant to another, both
// included, in order of time. It is not to be changed.
func (l *Log) Observations(from, to measure.Instant) []Observation {
	if l == nil {
		return nil
	}
	return l.list[l.index(from):max(l.index(to+1), l.index(from))]
}

// Last returns the newest observation by an instant; false where there is none.
func (l *Log) Last(by measure.Instant) (Observation, bool) {
	if l == nil {
		return Observation{}, false
	}
	i := l.index(by + 1)
	if i == 0 {
		return Observation{}, false
	}
	return l.list[i-1], true
}

// index returns the number of observations before an instant.
func (l *Log) index(at measure.Instant) int {
	return sort.Search(len(l.list), func(i int) bool { return l.list[i].At >= at })
}

// Finding is what a log shows of a stretch of time.
type Finding int

// The findings. Nothing is known where readings are further apart than the rule
// set allows, or where none speaks.
const (
	Within Finding = iota
	Outside
	Unknown
)

// String names the finding for a person.
func (f Finding) String() string {
	return [...]string{"within the limits", "outside", "no reading"}[f]
}

// Span is a stretch of time with one finding.
type Span struct {
	From, To measure.Instant
	Finding  Finding
	Why      string // of Outside: what the first reading that is outside says
}

// Judge returns what the log shows from one instant to another of what was in
// the air until it left at an instant not before to, in spans of one finding
// without gaps. Outside returns why air is outside the limits, empty where it is
// not.
//
// Between two readings both speak: the time is within the limits only where both
// are. Further apart than maxGap they prove nothing. A reading that no other
// follows in time speaks alone if it was not older than maxGap when the thing
// left, as those of ovens do.
func (l *Log) Judge(maxGap measure.Duration, from, to, left measure.Instant, outside func(Air) string) []Span {
	var out []Span
	for from < to {
		s := l.at(from, left, maxGap, outside)
		s.To = min(s.To, to)
		if n := len(out); n > 0 && out[n-1].Finding == s.Finding {
			out[n-1].To = s.To
		} else {
			out = append(out, s)
		}
		from = s.To
	}
	return out
}

// at returns the finding at an instant, and until when the same readings speak.
func (l *Log) at(at, left measure.Instant, maxGap measure.Duration, outside func(Air) string) Span {
	const ever = measure.Instant(1<<63 - 1)
	s := Span{From: at, To: ever, Finding: Unknown}
	if l == nil {
		return s
	}
	next := l.index(at + 1)
	if next < len(l.list) {
		s.To = l.list[next].At
	}
	if next == 0 {
		return s
	}
	before := l.list[next-1]
	speaks := []Observation{before}
	switch {
	case next < len(l.list) && s.To.Sub(before.At) <= maxGap:
		speaks = append(speaks, l.list[next])
	case left.Sub(before.At) > maxGap:
		return s
	}
	s.Finding = Within
	for _, o := range speaks {
		if why := outside(o.Air); why != "" {
			s.Finding, s.Why = Outside, why
			break
		}
	}
	return s
}
