package rules

import "ovenward/inventory/measure"

// Temperatures beyond these are slips of the finger or of the unit: bakes go to
// 430 °C (D1.1/D1.1M:2015 5.3.2.4), furnaces of the trade to 600 °C (common
// practice), stores stand in winter air.
var (
	coldestRule = measure.Celsius(-60)
	hottestRule = measure.Celsius(600)
)

// figures checks the figures of every row by themselves.
func (c *checker) figures() {
	for _, r := range c.set.Exposure {
		c.exposure(r)
	}
	for _, r := range c.set.Hold {
		c.positive(r.Row, "duration", r.Duration)
		c.given(r.Row, "min", r.Min)
		c.ordered(r.Row, r.Min, r.Max)
	}
	for _, r := range c.set.Bake {
		c.bake(r)
	}
	for _, r := range c.set.LoadLag {
		c.loadLag(r)
	}
	for _, r := range c.set.Quiver {
		c.quiver(r)
	}
	for _, r := range c.set.Packet {
		c.positive(r.Row, "limit", r.Limit)
	}
	for _, r := range c.set.Hopper {
		c.hopper(r)
	}
	for _, r := range c.set.Holding {
		c.atLeastOne(r.Row, "max_days", r.MaxDays)
	}
	for _, r := range c.set.ShelfLife {
		c.shelfLife(r)
	}
	for _, r := range c.set.WarmUp {
		c.warmUp(r)
	}
	for _, r := range c.set.Blend {
		c.blend(r)
	}
	for _, r := range c.set.CoStorage {
		c.coStorage(r)
	}
	for _, r := range c.set.Loading {
		c.places(r.Row, r.Places)
		c.atLeastOne(r.Row, "max_layers", r.MaxLayers)
	}
	c.airFigures()
	c.atTheWindow()
}

// atTheWindow checks the rows that joints and jobs are held against.
func (c *checker) atTheWindow() {
	for _, r := range c.set.IssueSize {
		c.issueSize(r)
	}
	for _, r := range c.set.BaseMetal {
		c.baseMetal(r)
	}
	for _, r := range c.set.Service {
		c.service(r)
	}
	for _, r := range c.set.Certificate {
		c.certificate(r)
	}
}

func (c *checker) exposure(r ExposureRow) {
	switch {
	case r.Clock != "" && r.Clock != NoClock && r.Clock != Elapsed:
		c.fault(r.Row, "clock is %q: write \"none\", \"elapsed\", or leave it out", r.Clock)
	case r.Clock == Elapsed && r.PausesInPack():
		c.fault(r.Row, "clock = \"elapsed\" and count_while_bagged = false contradict each other")
	case r.Clock == NoClock && r.Limit != 0:
		c.fault(r.Row, "a limit of %s and clock = \"none\" contradict each other", r.Limit)
	case r.Clock == NoClock:
	case r.Limit <= 0:
		c.fault(r.Row, "limit is missing: write limit = \"4h\", or clock = \"none\" where none runs")
	}
}

func (c *checker) quiver(r QuiverRow) {
	c.given(r.Row, "min", r.Min)
	known(c, r.Row, "on_dip", r.OnDip, []Dip{DipOpens, DipReverts})
	switch {
	case r.Total < 0:
		c.fault(r.Row, "total is %s: write a time such as total = \"8h\"", r.Total)
	case r.Total == 0 && !r.AsHold:
		c.fault(r.Row, "gives nothing: write total = \"8h\" for a credit of its own, or as_hold = true")
	}
}

func (c *checker) positive(row, name string, d measure.Duration) {
	if d <= 0 {
		c.fault(row, "%s is missing: write a time such as %s = \"4h\"", name, name)
	}
}

func (c *checker) atLeastOne(row, name string, n int64) {
	if n <= 0 {
		c.fault(row, "%s is %d: write a positive number", name, n)
	}
}

func (c *checker) given(row, name string, t Temp) {
	if !t.Given() {
		c.fault(row, "%s is missing: write a temperature such as %s = \"250 F\"", name, name)
	}
}

func (c *checker) ordered(row string, low, high Temp) {
	if low.Given() && high.Given() && high.Temperature < low.Temperature {
		c.fault(row, "max %s is below min %s", high, low)
	}
}

// temperatures checks that all are written in the set's own unit, because a
// set that mixes 250 °F with 120 °C decides differently by row.
func (c *checker) temperatures() {
	if c.set.UnitSystem != measure.US && c.set.UnitSystem != measure.SI {
		return
	}
	unit := "C"
	if c.set.UnitSystem == measure.US {
		unit = "F"
	}
	check := func(row, name string, t Temp) {
		switch {
		case !t.Given():
		case t.Temperature < coldestRule || t.Temperature > hottestRule:
			c.fault(row, "%s %s is beyond what an oven or a store has (%s to %s): check the figure and its unit", name, t, coldestRule, hottestRule)
		case t.fahrenheit() != (unit == "F"):
			c.fault(row, "%s %s in a set of unit_system %q: write it in %s", name, t, c.set.UnitSystem, unit)
		}
	}
	for _, r := range c.set.Hold {
		check(r.Row, "min", r.Min)
		check(r.Row, "max", r.Max)
	}
	for _, r := range c.set.Bake {
		check(r.Row, "min", r.Min)
		check(r.Row, "max", r.Max)
		if r.RampMax.Given() && r.RampMax.fahrenheit() != (unit == "F") {
			c.fault(r.Row, "ramp_max %s in a set of unit_system %q: write it in %s/h", r.RampMax, c.set.UnitSystem, unit)
		}
	}
	for _, r := range c.set.Quiver {
		check(r.Row, "min", r.Min)
	}
	for _, r := range c.set.Climate {
		check(r.Row, "min", r.Min)
		check(r.Row, "max", r.Max)
	}
	for _, r := range c.set.CoStorage {
		check(r.Row, "from", r.From)
	}
	for _, r := range c.set.BaseMetal {
		check(r.Row, "min", r.Min)
		check(r.Row, "max", r.Max)
	}
	for _, r := range c.set.WarmUp {
		check(r.Row, "below", r.Below)
	}
}
