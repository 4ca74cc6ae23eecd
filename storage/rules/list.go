package rules

// row is what rows of all kinds have in common.
type row interface {
	about() *Meta
	stock() *Match
	says() string // the figures in words
	figures() []figure
}

func (m *Meta) about() *Meta   { return m }
func (m *Match) stock() *Match { return m }

// listed is a row with the name of its kind in the file.
type listed struct {
	row
	kind string
	one  bool // of several such rows for the same stock only one could decide
}

// apart reports whether two rows of one kind that speak of the same stock speak
// of different loads of it.
func (r listed) apart(o listed) bool {
	switch a := r.row.(type) {
	case *BakeRow:
		b, ok := o.row.(*BakeRow)
		return ok && a.MaxDepth != b.MaxDepth
	case *LoadLagRow:
		b, ok := o.row.(*LoadLagRow)
		return ok && (a.UpToMass != b.UpToMass || a.UpToLayers != b.UpToLayers)
	}
	return false
}

// rows returns all rows in the order of their kinds.
func (s *Set) rows() []listed {
	var all []listed
	all = list(all, "exposure", true, s.Exposure)
	all = list(all, "hold", true, s.Hold)
	all = list(all, "bake", true, s.Bake)
	all = list(all, "load_lag", true, s.LoadLag)
	all = list(all, "quiver", true, s.Quiver)
	all = list(all, "packet", true, s.Packet)
	all = list(all, "hopper", true, s.Hopper)
	all = list(all, "holding_time", true, s.Holding)
	all = list(all, "shelf_life", true, s.ShelfLife)
	all = list(all, "warm_up", true, s.WarmUp)
	all = list(all, "blend", false, s.Blend)
	all = list(all, "co_storage", false, s.CoStorage)
	all = list(all, "loading", false, s.Loading)
	all = list(all, "first_use", false, s.FirstUse)
	all = list(all, "climate", false, s.Climate)
	all = list(all, "column_b", true, s.ColumnB)
	all = list(all, "issue_size", false, s.IssueSize)
	all = list(all, "base_metal", false, s.BaseMetal)
	all = list(all, "service", false, s.Service)
	return list(all, "certificate", false, s.Certificate)
}

// list appends the rows of one kind as they stand in the set, not as copies.
func list[R any, P interface {
	*R
	row
}](all []listed, kind string, one bool, rows []R) []listed {
	for i := range rows {
		all = append(all, listed{P(&rows[i]), kind, one})
	}
	return all
}

// Unconfirmed returns the rows whose figure is from memory: a person confirms
// each against the shop's own copy of the source before the set is approved.
func (s *Set) Unconfirmed() []Meta {
	var open []Meta
	for _, r := range s.rows() {
		if r.about().Status == Memory {
			open = append(open, *r.about())
		}
	}
	return open
}
