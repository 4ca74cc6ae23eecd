package demo

import (
	"cmp"
	"slices"

	"ovenward/inventory/measure"
)

// diary holds what is to happen, so that it is recorded in the order of time
// whoever thought of it.
type diary struct{ entries []diaryEntry }

type diaryEntry struct {
	at measure.Instant
	n  int // the order in which it was thought of
	do func()
}

func (d *diary) add(at measure.Instant, do func()) {
	d.entries = append(d.entries, diaryEntry{at, len(d.entries), do})
}

// run does everything in the order of time; what is done may add more.
func (d *diary) run(s *shop) {
	for len(d.entries) > 0 && s.err == nil {
		i := first(d.entries)
		e := d.entries[i]
		d.entries = slices.Delete(d.entries, i, i+1)
		e.do()
	}
}

func first(entries []diaryEntry) int {
	best := 0
	for i, e := range entries {
		if cmp.Or(cmp.Compare(e.at, entries[best].at), cmp.Compare(e.n, entries[best].n)) < 0 {
			best = i
		}
	}
	return best
}
