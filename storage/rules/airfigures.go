package rules

import "ovenward/inventory/measure"

// airFigures checks the rows that speak of air.
func (c *checker) airFigures() {
	for _, r := range c.set.Climate {
		c.climate(r)
	}
	for _, r := range c.set.ColumnB {
		c.columnB(r)
	}
	c.bands()
	if p := c.set.Air; p.MaxGap < 0 {
		c.amiss("air.max_gap", "is %s: write a time that is not negative", p.MaxGap)
	} else if p.MaxGap == 0 && len(c.set.Climate)+len(c.set.ColumnB) > 0 {
		c.amiss("air.max_gap", "is missing: rows of kind climate and column_b ask how far apart readings of the air may be; write max_gap = \"4h\" under [air]")
	}
}

func (c *checker) climate(r ClimateRow) {
	if !r.Min.Given() && !r.Max.Given() {
		c.fault(r.Row, "names no temperature: write min, max or both")
	}
	c.ordered(r.Row, r.Min, r.Max)
	if r.Humidity <= 0 || r.Humidity > measure.Saturated {
		c.fault(r.Row, "humidity is missing: write the most that is allowed, such as humidity = \"60 %%\"")
	}
}

func (c *checker) columnB(r ColumnBRow) {
	c.positive(r.Row, "over", r.Over)
	c.positive(r.Row, "max", r.Max)
	if r.Max <= r.Over {
		c.fault(r.Row, "max %s is not above over %s", r.Max, r.Over)
	}
	for _, e := range c.set.Exposure {
		if e.Clock != NoClock && e.Match.overlaps(r.Match) && r.Over < e.Limit && e.Authority == r.Authority {
			c.fault(r.Row, "over %s is below the limit of %s of exposure row %s: a test would shorten it", r.Over, e.Limit, e.Row)
		}
	}
}

// bands finds two bands of one table that overlap in more than a common end, so
// that the same air would have two limits.
func (c *checker) bands() {
	rows := c.set.Climate
	for i := range rows {
		for k := i + 1; k < len(rows); k++ {
			a, b := &rows[i], &rows[k]
			if a.Authority == b.Authority && a.Match.overlaps(b.Match) && crosses(a, b) {
				c.fault(b.Row, "its temperatures overlap those of climate row %s for the same stock: let one begin where the other ends", a.Row)
			}
		}
	}
}

// crosses reports whether two bands share more than an end.
func crosses(a, b *ClimateRow) bool {
	below := func(a, b *ClimateRow) bool { // a ends where b begins, or before
		return a.Max.Given() && b.Min.Given() && a.Max.Temperature <= b.Min.Temperature
	}
	return !below(a, b) && !below(b, a)
}
