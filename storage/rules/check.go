package rules

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/measure"
)

// checker gathers every fault of a set, each as a *FileError that names the
// row.
type checker struct {
	page   *page
	set    *Set
	faults []error
}

func (c *checker) all() {
	c.identity()
	c.policies()
	c.rows()
	c.figures()
	c.temperatures()
	c.overlaps()
	c.following()
	c.gaps()
}

// fault reports what is wrong with a row.
func (c *checker) fault(row, format string, args ...any) {
	c.faults = append(c.faults, &FileError{File: c.page.file, Line: c.page.rowLine(row), Row: row,
		Why: fmt.Sprintf(format, args...)})
}

// amiss reports what is wrong with a key of the set itself.
func (c *checker) amiss(key, format string, args ...any) {
	c.faults = append(c.faults, &FileError{File: c.page.file, Line: c.page.keyLine(key),
		Why: key + " " + fmt.Sprintf(format, args...)})
}

func (c *checker) identity() {
	s := c.set
	for _, f := range []struct{ name, value string }{{"id", s.ID}, {"title", s.Title}, {"edition", s.Edition}} {
		if strings.TrimSpace(f.value) == "" {
			c.amiss(f.name, "is missing: write %s = \"...\"", f.name)
		}
	}
	if s.UnitSystem != measure.US && s.UnitSystem != measure.SI {
		c.amiss("unit_system", "is %q: write \"US\" or \"SI\"; a set decides in one of them", s.UnitSystem)
	}
	c.validity()
}

func (c *checker) validity() {
	s := c.set
	if s.ValidFrom == "" {
		c.amiss("valid_from", "is missing: write the first day on which the set applies, such as 2025-01-01")
	}
	dates := c.date("valid_from", s.ValidFrom) && c.date("valid_to", s.ValidTo)
	if dates && s.ValidTo != "" && s.ValidTo < s.ValidFrom {
		c.amiss("valid_to", "%s is before valid_from %s", s.ValidTo, s.ValidFrom)
	}
}

// date reports whether a date is one or left out.
func (c *checker) date(key string, d measure.Date) bool {
	if d == "" {
		return true
	}
	_, err := measure.ParseDate(string(d))
	if err != nil {
		c.amiss(key, "is wrong: %v", err)
	}
	return err == nil
}

func (c *checker) policies() {
	s := c.set
	oneOf(c, "clock.policy", s.Clock.Policy, Running, Summed)
	oneOf(c, "clock.return_at_limit", s.Clock.ReturnAtLimit, BakeAtLimit, HoldAtLimit)
	oneOf(c, "evidence.missing", s.Evidence.Missing, MissingQAHold, MissingOpen)
	oneOf(c, "oven.excursion", s.Oven.Excursion, ExcursionExposure, ExcursionQAHold)
	oneOf(c, "people.training", s.People.Training, Unchecked, Warned, Refused)
	oneOf(c, "people.welders", s.People.Welders, Unchecked, Warned, Refused)
	oneOf(c, "oven.past_calibration", s.Oven.Lapsed, Unchecked, Warned, Refused)
	if p := s.Clock.WarnPercent; p < 1 || p > 99 {
		c.amiss("clock.warn_percent", "is %d: a warning comes between 1 and 99 per cent of the limit", p)
	}
	s.Issue.check(c)
	s.Shelf.check(c)
	s.Papers.check(c)
	if s.Bakes.Max < 0 {
		c.amiss("bakes.max", "is %d: write the number of bakes allowed, 0 for none", s.Bakes.Max)
	}
	for _, d := range []struct {
		key   string
		value measure.Duration
	}{
		{"evidence.max_gap", s.Evidence.MaxGap},
		{"bakes.load_lag", s.Bakes.LoadLag},
		{"bakes.max_total", s.Bakes.MaxTotal},
		{"issue.max_hours", s.Issue.MaxHours},
		{"oven.check_every", s.Oven.Every},
	} {
		if d.value < 0 {
			c.amiss(d.key, "is %s: write a time that is not negative", d.value)
		}
	}
}

func oneOf[T ~string](c *checker, key string, got T, allowed ...T) {
	if !slices.Contains(allowed, got) {
		c.amiss(key, "is %q: use one of %q", got, allowed)
	}
}

// rows checks what every row says of itself and of the stock it speaks of.
func (c *checker) rows() {
	seen := map[string]bool{}
	for _, r := range c.set.rows() {
		m := r.about()
		switch {
		case m.Row == "":
			c.fault("?", "a row of kind %s has no name: write row = \"...\"", r.kind)
		case seen[m.Row]:
			c.fault(m.Row, "the name stands twice: every row has its own")
		}
		seen[m.Row] = true
		if strings.TrimSpace(m.Source) == "" {
			c.fault(m.Row, "source is missing: say where the figure comes from, with edition and clause")
		}
		if !slices.Contains([]Status{Confirmed, SingleSource, Memory, Shop}, m.Status) {
			c.fault(m.Row, "status is %q: use confirmed, single-source, memory or shop", m.Status)
		}
		if !slices.Contains([]Authority{Code, Maker, Owner, House}, m.Authority) {
			c.fault(m.Row, "authority is %q: use code, maker, owner or shop", m.Authority)
		}
		c.stock(m.Row, r.stock())
	}
}
