package rules

import "ovenward/inventory/measure"

// hopper checks what a row asks of flux in a hopper.
func (c *checker) hopper(r HopperRow) {
	if r.Limit < 0 {
		c.fault(r.Row, "limit is %s: write a time such as limit = \"8h\"", r.Limit)
	}
	if r.DropTop != "" {
		if depth, err := measure.ParseLength(r.DropTop); err != nil || depth <= 0 {
			c.fault(r.Row, "drop_top is %q: write a depth such as drop_top = \"25 mm\"", r.DropTop)
		}
	}
	if r.Limit == 0 && r.DropTop == "" {
		c.fault(r.Row, "asks nothing: write limit = \"8h\", or drop_top = \"25 mm\"")
	}
}

// shelfLife checks that a row's life is longer than nothing, from a day that is
// known.
func (c *checker) shelfLife(r ShelfLifeRow) {
	known(c, r.Row, "from", r.From, []Basis{FromMade, FromReceived, FromOpened})
	for _, p := range []struct {
		name string
		n    int
	}{{"years", r.Years}, {"months", r.Months}, {"days", r.Days}} {
		if p.n < 0 || (p.name == "years" && r.Years+r.Months+r.Days == 0) {
			c.fault(r.Row, "%s is %d: write a positive number", p.name, p.n)
		}
	}
}

func (c *checker) warmUp(r WarmUpRow) {
	c.given(r.Row, "below", r.Below)
	c.positive(r.Row, "wait", r.Wait)
	known(c, r.Row, "cold", r.Cold, []Cold{ColdRefused, ColdWarns})
}

func (c *checker) blend(r BlendRow) {
	for _, p := range []struct {
		name string
		n    int64
	}{{"new_min_percent", r.NewMin}, {"recycled_max_percent", r.RecycledMax}} {
		if p.n < 0 || p.n > 100 {
			c.fault(r.Row, "%s is %d: write 1 to 100", p.name, p.n)
		}
	}
	if r.NewMin == 0 && r.RecycledMax == 0 {
		c.fault(r.Row, "asks nothing: write new_min_percent = 25, or recycled_max_percent = 30")
	}
}
