package rules

import "ovenward/inventory/measure"

// BakeLimit is how often, and for how long in all, rods may be baked by one
// row. Where several speak every one of them must be kept.
type BakeLimit struct {
	Row         string // or the name of the set's own setting
	Source      string
	Counted     bool  // Max is given
	Max         int64 // bakes
	FirstCounts bool  // the bake before the first use of stock that came without a tight seal is one of them
	Total       measure.Duration
}

// The names under which the set's own limits decide.
const (
	setMax   = "bakes.max"
	setTotal = "bakes.max_total"
)

// bakeLimits returns the set's own limits and those of its bake rows.
func (s *Set) bakeLimits(r Recipe) []BakeLimit {
	all := []BakeLimit{{Row: setMax, Source: s.Title + ", edition " + s.Edition, Counted: true, Max: s.Bakes.Max,
		FirstCounts: s.Bakes.FirstCounts}}
	if s.Bakes.MaxTotal > 0 {
		all = append(all, BakeLimit{Row: setTotal, Source: all[0].Source, Total: s.Bakes.MaxTotal})
	}
	for i := range r.Rows {
		row := &r.Rows[i]
		l := BakeLimit{Row: row.Row, Source: row.Source, FirstCounts: s.Bakes.FirstCounts, Total: row.MaxTotal}
		if row.MaxBakes != nil {
			l.Counted, l.Max = true, *row.MaxBakes
		}
		if row.FirstCounts != nil {
			l.FirstCounts = *row.FirstCounts
		}
		if l.Counted || l.Total > 0 {
			all = append(all, l)
		}
	}
	return all
}
