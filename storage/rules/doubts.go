package rules

import (
	"errors"
	"fmt"
)

// Doubts returns what a sound set says that a person should know before it is
// approved: bake rows that no bake can keep together although the same stock
// may meet both, and rows that count from the load where nothing tells when it
// is hot. In words, in the order of the file.
func (s *Set) Doubts() []string {
	var all []string
	for i := range s.Bake {
		for j := i + 1; j < len(s.Bake); j++ {
			if why := contradict(&s.Bake[i], &s.Bake[j]); why != "" {
				all = append(all, why)
			}
		}
	}
	if s.Bakes.LoadLag > 0 || len(s.LoadLag) > 0 {
		return all
	}
	for i := range s.Bake {
		if r := &s.Bake[i]; r.ClockFrom == FromLoad {
			all = append(all, fmt.Sprintf("bake row %s counts from the load and the set says nothing of load lag: "+
				"only a sensor in the load can prove such a bake", r.Row))
		}
	}
	return all
}

// contradict says why two rows can never be kept together by stock that both
// speak of; empty where they can.
func contradict(a, b *BakeRow) string {
	if a.Authority == b.Authority || !a.Match.overlaps(b.Match) {
		return ""
	}
	_, err := Intersect(*a, *b)
	if w, ok := errors.AsType[*WindowError](err); ok {
		return w.Error()
	}
	return ""
}
