package rules

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// BaseMetalRow says of stock for a group of base metals whether it may be used
// as it came, or how it is baked before. It speaks only where a joint names its
// base metal.
type BaseMetalRow struct {
	Meta
	Match
	Groups       []string         `toml:"groups"`
	Seal         inventory.Seal   `toml:"seal"`              // at receiving; empty: either
	HydrogenMark int              `toml:"hydrogen_mark_max"` // the mark printed, at most; zero: does not matter
	Unbaked      bool             `toml:"unbaked"`           // may be used as it came
	Min          Temp             `toml:"min"`               // else the bake before use
	Max          Temp             `toml:"max"`
	Soak         measure.Duration `toml:"soak"`

	PresoakPercent int64            `toml:"presoak_percent"`
	Presoak        measure.Duration `toml:"presoak"`
}

// speaks reports whether the row speaks of stock for a base metal.
func (r *BaseMetalRow) speaks(sub Subject, group string) bool {
	h := sub.Mark.Hydrogen
	return named(r.Groups, group) && r.Matches(sub) &&
		(r.Seal == "" || (r.Seal == inventory.Intact) == sub.Tight) &&
		(r.HydrogenMark == 0 || (h != 0 && h <= r.HydrogenMark))
}

// Bake returns the recipe of the bake before use.
func (r *BaseMetalRow) Bake() *BakeRow {
	return &BakeRow{Meta: r.Meta, Min: r.Min, Max: r.Max, Soak: r.Soak, PresoakPercent: r.PresoakPercent, Presoak: r.Presoak}
}

// ForBaseMetal returns the row that decides of stock for a base metal. One that
// lets stock be used as it came is an exception and goes before one that asks
// for a bake. It is nil where none speaks.
func (s *Set) ForBaseMetal(sub Subject, group string) *BaseMetalRow {
	var found *BaseMetalRow
	for i := range s.BaseMetal {
		row := &s.BaseMetal[i]
		if row.speaks(sub, group) && (found == nil || (row.Unbaked && !found.Unbaked)) {
			found = row
		}
	}
	return found
}

// KnowsBaseMetal reports whether any row speaks of a group.
func (s *Set) KnowsBaseMetal(group string) bool {
	return slices.ContainsFunc(s.BaseMetal, func(r BaseMetalRow) bool { return named(r.Groups, group) })
}

func (c *checker) baseMetal(r BaseMetalRow) {
	if len(r.Groups) == 0 {
		c.fault(r.Row, "groups is missing: name the base metals, such as groups = [\"A514\", \"A517\"]")
	}
	known(c, r.Row, "seal", r.Seal, []inventory.Seal{"", inventory.Intact, inventory.Broken})
	if !r.Unbaked {
		c.bake(*r.Bake())
		return
	}
	if r.Min.Given() || r.Max.Given() || r.Soak != 0 {
		c.fault(r.Row, "unbaked = true and a bake contradict each other")
	}
}

func (r BaseMetalRow) says() string {
	says := "on " + strings.Join(r.Groups, ", ") + ": "
	if r.Seal != "" {
		says += "seal " + string(r.Seal) + ", "
	}
	if r.HydrogenMark != 0 {
		says += fmt.Sprintf("mark H%d or lower, ", r.HydrogenMark)
	}
	if r.Unbaked {
		return says + "used as it came"
	}
	return says + "baked before use, " + r.Bake().says()
}

// ServiceRow keeps stock from a service: the work that the owner's standard
// does not let it do.
type ServiceRow struct {
	Meta
	Match
	Services   []string `toml:"services"`
	Passes     []string `toml:"passes"`      // none: every pass
	Alloys     []string `toml:"alloys"`      // suffixes, such as "G"; none: any
	SinglePass bool     `toml:"single_pass"` // stock classified for a single pass only
	Why        string   `toml:"why"`
}

// Unfit returns the row that keeps stock from a service and pass, or nil.
func (s *Set) Unfit(sub Subject, service, pass string) *ServiceRow {
	for i := range s.Service {
		r := &s.Service[i]
		if named(r.Services, service) && (len(r.Passes) == 0 || named(r.Passes, pass)) && r.Matches(sub) &&
			among(r.Alloys, sub.Mark.Alloy) && (!r.SinglePass || sub.Mark.SinglePass()) {
			return r
		}
	}
	return nil
}

func (c *checker) service(r ServiceRow) {
	if len(r.Services) == 0 {
		c.fault(r.Row, "services is missing: name the work, such as services = [\"pressure\"]")
	}
	if strings.TrimSpace(r.Why) == "" {
		c.fault(r.Row, "why is missing: the welder is told why")
	}
}

func (r ServiceRow) says() string {
	says := "not for " + strings.Join(r.Services, ", ")
	if len(r.Passes) > 0 {
		says += ", " + strings.Join(r.Passes, ", ") + " pass"
	}
	if len(r.Alloys) > 0 {
		says += ", suffix " + strings.Join(r.Alloys, ", ")
	}
	if r.SinglePass {
		says += ", single-pass classes"
	}
	return says + ": " + r.Why
}

func (c *checker) issueSize(r IssueSizeRow) { c.atLeastOne(r.Row, "rods_per_hour", r.RodsPerHour) }

func (r IssueSizeRow) says() string {
	sizes := make([]string, len(r.Diameters))
	for i, d := range r.Diameters {
		sizes[i] = d.Text
	}
	return strings.TrimSpace(fmt.Sprintf("%s %d rods an hour", strings.Join(sizes, ", "), r.RodsPerHour))
}

func (c *checker) certificate(r CertificateRow) {
	d, err := r.demand(c.set.ID)
	switch {
	case err != nil:
		c.fault(r.Row, "%v", err)
	case !d.Asks() && d.MaxAge == (inventory.Age{}):
		c.fault(r.Row, "asks for nothing: write kind = \"2.2\", actual = true or max_test_age = \"12 months\"")
	}
}

func (r CertificateRow) says() string {
	says := "a certificate " + cmp.Or(r.Kind, "of any kind")
	if r.Actual {
		says += " with results of the lot"
	}
	if r.MaxTestAge != "" {
		says += ", test not older than " + r.MaxTestAge
	}
	if len(r.Approvals) > 0 {
		says += ", approval " + strings.Join(r.Approvals, ", ")
	}
	return says
}
