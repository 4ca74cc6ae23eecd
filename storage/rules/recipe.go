package rules

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Recipe is what the bake rows that speak of one kind of stock ask of a load.
type Recipe struct {
	Rows   []BakeRow
	Lags   []LoadLagRow
	SetLag measure.Duration // the set's own, for any load; zero: none
}

// recipe gathers the rows that speak of the stock.
func (s *Set) recipe(sub Subject) Recipe {
	return Recipe{Rows: speaking(s.Bake, sub), Lags: speaking(s.LoadLag, sub), SetLag: s.Bakes.LoadLag}
}

func speaking[R interface{ Matches(Subject) bool }](rows []R, sub Subject) []R {
	var of []R
	for i := range rows {
		if rows[i].Matches(sub) {
			of = append(of, rows[i])
		}
	}
	return of
}

// Never reports that the rule set has no bake for the stock.
func (r Recipe) Never() bool { return len(r.Rows) == 0 }

// Shallow reports whether the recipe depends on how deep the load lies.
func (r Recipe) Shallow() bool {
	for i := range r.Rows {
		if r.Rows[i].MaxDepth > 0 {
			return true
		}
	}
	return false
}

// DepthError reports a layer that is deeper than a bake row speaks of.
type DepthError struct {
	Depth measure.Length
	Row   BakeRow // the deepest of its authority
}

// Error names the row and its depth.
func (e *DepthError) Error() string {
	return fmt.Sprintf("%s deep: row %s is for layers of at most %s; spread it thinner, or QA adds a row for that depth",
		e.Depth, e.Row.Row, e.Row.MaxDepth)
}

// For returns the recipe for a load: what keeps the rows of every authority,
// nil where no row speaks of the stock. Of one authority's rows for several
// depths the one for the shallowest layer that holds the load applies; a load
// whose depth nobody has said is taken for the deepest. The error is a
// *WindowError for rows that contradict each other, or a *DepthError.
func (r Recipe) For(o inventory.BakeOrder) (*BakeRow, error) {
	var whole *BakeRow
	for _, a := range authorities {
		row, err := r.of(a, o.Depth)
		switch {
		case err != nil:
			return nil, err
		case row == nil:
		case whole == nil:
			whole = row
		default:
			w, err := Intersect(*whole, *row)
			if err != nil {
				return nil, err
			}
			whole = &w
		}
	}
	return whole, nil
}

// authorities in the order in which their rows are named.
var authorities = []Authority{Code, Maker, Owner, House}

// of returns one authority's row for a depth; nil where it has none at all.
func (r Recipe) of(a Authority, depth measure.Length) (*BakeRow, error) {
	var deepest, fits *BakeRow
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Authority != a {
			continue
		}
		if deepest == nil || deeper(row, deepest) {
			deepest = row
		}
		if row.MaxDepth > 0 && depth > 0 && depth <= row.MaxDepth && (fits == nil || deeper(fits, row)) {
			fits = row
		}
	}
	switch {
	case fits != nil:
		return fits, nil
	case deepest == nil || depth == 0 || deepest.MaxDepth == 0:
		return deepest, nil
	}
	return nil, &DepthError{Depth: depth, Row: *deepest}
}

// deeper reports whether a speaks of deeper layers than b; zero is any depth.
func deeper(a, b *BakeRow) bool {
	return b.MaxDepth != 0 && (a.MaxDepth == 0 || a.MaxDepth > b.MaxDepth)
}

// Lag is how long a load trails the oven's air.
type Lag struct {
	Length measure.Duration
	Row    string // where it comes from, empty where nothing is said of it
	Known  bool
}

// setLag is how the set's own lag is named.
const setLag = "bakes.load_lag"

// Lag returns the lag of a load: of every authority's load-lag rows the row
// that covers its mass and its layers, and of those the longest. Where a row
// asks for what nobody has said of the load the longest of the rows applies.
// The set's own lag speaks where no row does; for a load beyond all rows
// nothing else is known.
func (r Recipe) Lag(o inventory.BakeOrder) Lag {
	var whole Lag
	beyond := false
	for _, a := range authorities {
		l, any := r.lagOf(a, o)
		beyond = beyond || (any && !l.Known)
		if any && (whole.Row == "" || l.Length > whole.Length) {
			whole = l
		}
	}
	switch {
	case r.SetLag > 0 && (whole.Row == "" || (beyond && r.SetLag > whole.Length)):
		return Lag{r.SetLag, setLag, true}
	case beyond && r.SetLag == 0:
		return Lag{whole.Length, whole.Row, false}
	case beyond:
		whole.Known = true
	}
	return whole
}

// lagOf returns one authority's lag, and whether it says anything of lags.
func (r Recipe) lagOf(a Authority, o inventory.BakeOrder) (Lag, bool) {
	var least, most *LoadLagRow
	unsaid := false
	for i := range r.Lags {
		row := &r.Lags[i]
		if row.Authority != a {
			continue
		}
		unsaid = unsaid || (row.UpToMass > 0 && o.Load == 0) || (row.UpToLayers > 0 && o.Layers == 0)
		if most == nil || *row.Lag > *most.Lag {
			most = row
		}
		if row.covers(o) && (least == nil || *row.Lag < *least.Lag) {
			least = row
		}
	}
	switch {
	case most == nil:
		return Lag{}, false
	case least != nil:
		return Lag{*least.Lag, least.Row, true}, true
	}
	return Lag{*most.Lag, most.Row, unsaid}, true
}

func (r *LoadLagRow) covers(o inventory.BakeOrder) bool {
	return (r.UpToMass == 0 || (o.Load > 0 && o.Load <= r.UpToMass)) &&
		(r.UpToLayers == 0 || (o.Layers > 0 && o.Layers <= r.UpToLayers))
}
