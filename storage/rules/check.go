package rules

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/measure"
)

// check returns every fault of the set, each as a *FileError that names the
// row.
func (s *Set) check(file string) []error {
	c := checker{file: file, set: s}
	c.identity()
	c.policies()
	c.rows()
	c.temperatures()
	c.overlaps()
	return c.faults
}

type checker struct {
	file   string
	set    *Set
	faults []error
}

func (c *checker) fault(row, format string, args ...any) {
	c.faults = append(c.faults, &FileError{File: c.file, Row: row, Why: fmt.Sprintf(format, args...)})
}

func (c *checker) identity() {
	s := c.set
	for _, f := range []struct{ name, value string }{{"id", s.ID}, {"title", s.Title}, {"edition", s.Edition}} {
		if strings.TrimSpace(f.value) == "" {
			c.fault("", "%s is missing: write %s = \"...\"", f.name, f.name)
		}
	}
	if s.UnitSystem != US && s.UnitSystem != SI {
		c.fault("", "unit_system is %q: write \"US\" or \"SI\"; a set decides in one of them", s.UnitSystem)
	}
	for _, d := range []measure.Date{s.ValidFrom, s.ValidTo} {
		if d == "" {
			continue
		}
		if _, err := measure.ParseDate(string(d)); err != nil {
			c.fault("", "%v", err)
		}
	}
	if s.ValidFrom == "" {
		c.fault("", "valid_from is missing: write the first day on which the set applies, such as 2025-01-01")
	}
}

func (c *checker) policies() {
	s := c.set
	oneOf(c, "clock.policy", s.Clock.Policy, Running, Summed)
	oneOf(c, "clock.return_at_limit", s.Clock.ReturnAtLimit, BakeAtLimit, HoldAtLimit)
	oneOf(c, "evidence.missing", s.Evidence.Missing, MissingQAHold, MissingOpen)
	oneOf(c, "oven.excursion", s.Oven.Excursion, ExcursionExposure, ExcursionQAHold)
	if p := s.Clock.WarnPercent; p < 1 || p > 99 {
		c.fault("", "clock.warn_percent is %d: a warning comes between 1 and 99 per cent of the limit", p)
	}
	if s.Evidence.MaxGap < 0 {
		c.fault("", "evidence.max_gap is %s: a gap is a positive time", s.Evidence.MaxGap)
	}
	if s.Bakes.Max < 0 {
		c.fault("", "bakes.max is %d: write the number of bakes allowed, 0 for none", s.Bakes.Max)
	}
}

func oneOf[T ~string](c *checker, name string, got T, allowed ...T) {
	if !slices.Contains(allowed, got) {
		c.fault("", "%s is %q: use one of %q", name, got, allowed)
	}
}

func (c *checker) rows() {
	seen := map[string]bool{}
	for _, m := range c.set.metas() {
		switch {
		case m.Row == "":
			c.fault("?", "a row has no name: write row = \"...\"")
		case seen[m.Row]:
			c.fault(m.Row, "the name stands twice: every row has its own")
		}
		seen[m.Row] = true
		if m.Source == "" {
			c.fault(m.Row, "source is missing: say where the figure comes from, with edition and clause")
		}
		if !slices.Contains([]Status{Confirmed, SingleSource, Memory, Shop}, m.Status) {
			c.fault(m.Row, "status is %q: use confirmed, single-source, memory or shop", m.Status)
		}
		if !slices.Contains([]Authority{Code, Maker, Owner, House}, m.Authority) {
			c.fault(m.Row, "authority is %q: use code, maker, owner or shop", m.Authority)
		}
	}
	c.figures()
}

func (c *checker) figures() {
	for _, r := range c.set.Exposure {
		switch {
		case r.Clock != "" && r.Clock != "none":
			c.fault(r.Row, "clock is %q: write \"none\" or leave it out", r.Clock)
		case r.Clock == "none" && r.Limit != 0:
			c.fault(r.Row, "a limit of %s and clock = \"none\" contradict each other", r.Limit)
		case r.Clock == "" && r.Limit <= 0:
			c.fault(r.Row, "limit is missing: write limit = \"4h\", or clock = \"none\" where none runs")
		}
	}
	for _, r := range c.set.Hold {
		c.positive(r.Row, "duration", r.Duration)
		c.given(r.Row, "min", r.Min)
		c.ordered(r.Row, r.Min, r.Max)
	}
	for _, r := range c.set.Bake {
		c.positive(r.Row, "soak", r.Soak)
		c.given(r.Row, "min", r.Min)
		c.given(r.Row, "max", r.Max)
		c.ordered(r.Row, r.Min, r.Max)
		if r.SoakMax != 0 && r.SoakMax < r.Soak {
			c.fault(r.Row, "soak_max %s is shorter than soak %s", r.SoakMax, r.Soak)
		}
		if (r.Presoak > 0) != (r.PresoakPercent > 0) || r.PresoakPercent > 100 {
			c.fault(r.Row, "presoak and presoak_percent (1 to 100) go together")
		}
	}
	for _, r := range c.set.Quiver {
		c.given(r.Row, "min", r.Min)
		if r.OnDip != "open" && r.OnDip != "revert" {
			c.fault(r.Row, "on_dip is %q: use open or revert", r.OnDip)
		}
	}
	for _, r := range c.set.Packet {
		c.positive(r.Row, "limit", r.Limit)
	}
	for _, r := range c.set.Holding {
		if r.MaxDays <= 0 {
			c.fault(r.Row, "max_days is %d: write a positive number", r.MaxDays)
		}
	}
	for _, r := range c.set.ShelfLife {
		if r.Years <= 0 {
			c.fault(r.Row, "years is %d: write a positive number", r.Years)
		}
	}
	for _, r := range c.set.CoStorage {
		if len(r.Places) == 0 {
			c.fault(r.Row, "places is missing: name the kinds of place, such as \"holding oven\"")
		}
	}
}

func (c *checker) positive(row, name string, d measure.Duration) {
	if d <= 0 {
		c.fault(row, "%s is missing: write a time such as %s = \"4h\"", name, name)
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
	want := "C"
	if c.set.UnitSystem == US {
		want = "F"
	}
	check := func(row string, ts ...Temp) {
		for _, t := range ts {
			if t.Given() && t.fahrenheit() != (want == "F") {
				c.fault(row, "%s in a set of unit_system %q: write it in %s", t, c.set.UnitSystem, want)
			}
		}
	}
	for _, r := range c.set.Hold {
		check(r.Row, r.Min, r.Max)
	}
	for _, r := range c.set.Bake {
		check(r.Row, r.Min, r.Max)
	}
	for _, r := range c.set.Quiver {
		check(r.Row, r.Min)
	}
}
