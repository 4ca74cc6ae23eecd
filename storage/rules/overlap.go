package rules

// metas returns what every row says of itself, for checks that concern all.
func (s *Set) metas() []*Meta {
	var all []*Meta
	for i := range s.Exposure {
		all = append(all, &s.Exposure[i].Meta)
	}
	for i := range s.Hold {
		all = append(all, &s.Hold[i].Meta)
	}
	for i := range s.Bake {
		all = append(all, &s.Bake[i].Meta)
	}
	for i := range s.Quiver {
		all = append(all, &s.Quiver[i].Meta)
	}
	for i := range s.Packet {
		all = append(all, &s.Packet[i].Meta)
	}
	for i := range s.Holding {
		all = append(all, &s.Holding[i].Meta)
	}
	for i := range s.ShelfLife {
		all = append(all, &s.ShelfLife[i].Meta)
	}
	for i := range s.CoStorage {
		all = append(all, &s.CoStorage[i].Meta)
	}
	for i := range s.FirstUse {
		all = append(all, &s.FirstUse[i].Meta)
	}
	return all
}

// Unconfirmed returns the rows whose figure is from memory: a person confirms
// each against the shop's own copy of the source before the set is approved.
func (s *Set) Unconfirmed() []Meta {
	var open []Meta
	for _, m := range s.metas() {
		if m.Status == Memory {
			open = append(open, *m)
		}
	}
	return open
}

// ruled is a row that can be looked up.
type ruled interface {
	meta() Meta
	match() Match
}

func (m Meta) meta() Meta    { return m }
func (m Match) match() Match { return m }

// overlaps finds rows of one kind and one authority that could both speak of
// the same stock: which of them decides would be chance.
func (c *checker) overlaps() {
	overlapping(c, "exposure", c.set.Exposure)
	overlapping(c, "hold", c.set.Hold)
	overlapping(c, "bake", c.set.Bake)
	overlapping(c, "quiver", c.set.Quiver)
	overlapping(c, "packet", c.set.Packet)
	overlapping(c, "holding_time", c.set.Holding)
	overlapping(c, "shelf_life", c.set.ShelfLife)
}

func overlapping[R ruled](c *checker, kind string, rows []R) {
	for i, a := range rows {
		for _, b := range rows[i+1:] {
			if a.meta().Authority == b.meta().Authority && a.match().overlaps(b.match()) {
				c.fault(b.meta().Row, "overlaps %s row %s: the same stock would meet both; narrow one of them", kind, a.meta().Row)
			}
		}
	}
}
