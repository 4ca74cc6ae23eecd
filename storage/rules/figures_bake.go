package rules

func (c *checker) bake(r BakeRow) {
	c.positive(r.Row, "soak", r.Soak)
	c.given(r.Row, "min", r.Min)
	c.given(r.Row, "max", r.Max)
	c.ordered(r.Row, r.Min, r.Max)
	known(c, r.Row, "clock_from", r.ClockFrom, []ClockFrom{"", FromOven, FromLoad})
	if r.SoakMax != 0 && r.SoakMax < r.Soak {
		c.fault(r.Row, "soak_max %s is shorter than soak %s", r.SoakMax, r.Soak)
	}
	outside := r.Presoak < 0 || r.PresoakPercent < 0 || r.PresoakPercent > 100
	if outside || (r.Presoak > 0) != (r.PresoakPercent > 0) {
		c.fault(r.Row, "presoak (a time) and presoak_percent (1 to 100) go together")
	}
	if r.RampOver < 0 || (r.RampOver > 0 && !r.RampMax.Given()) {
		c.fault(r.Row, "ramp_over (a time) goes with ramp_max, such as \"150 C/h\"")
	}
	c.bakeLoad(r)
}

func (c *checker) bakeLoad(r BakeRow) {
	if r.MaxLayers < 0 {
		c.fault(r.Row, "max_layers is %d: write a positive number, or leave it out", r.MaxLayers)
	}
	if r.MaxDepth < 0 {
		c.fault(r.Row, "max_depth is %s: write a positive depth, or leave it out", r.MaxDepth)
	}
	if r.MaxBakes != nil && *r.MaxBakes < 0 {
		c.fault(r.Row, "max_bakes is %d: write the number of bakes allowed, 0 for none", *r.MaxBakes)
	}
	if r.FirstCounts != nil && r.MaxBakes == nil {
		c.fault(r.Row, "first_counts goes with max_bakes")
	}
	if r.MaxTotal != 0 && r.MaxTotal < r.Soak {
		c.fault(r.Row, "max_total %s is shorter than one soak of %s", r.MaxTotal, r.Soak)
	}
}

func (c *checker) loadLag(r LoadLagRow) {
	switch {
	case r.Lag == nil:
		c.fault(r.Row, "lag is missing: write a time such as lag = \"50m\", or \"0m\" where the load is as hot as the oven")
	case *r.Lag < 0:
		c.fault(r.Row, "lag is %s: write a time that is not negative", *r.Lag)
	}
	if r.UpToMass < 0 || r.UpToLayers < 0 {
		c.fault(r.Row, "up_to_mass and up_to_layers are positive, or left out")
	}
}
