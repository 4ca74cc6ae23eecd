package rules

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Issue limits what goes out on one slip. What is not set asks for nothing, so
// that a set written before a setting was known keeps its meaning.
type Issue struct {
	MaxHours    measure.Duration `toml:"max_hours"`     // of work; zero: the exposure limit
	RodsPerHour int64            `toml:"rods_per_hour"` // that one welder burns; zero: no cap, unless a row gives one
	TooMany     Strictness       `toml:"too_many"`
	WrongSize   Strictness       `toml:"wrong_size"`  // not a diameter of the joint's procedure
	NotOnCard   Strictness       `toml:"not_on_card"` // the welder, of the joint
	OneFiller   bool             `toml:"one_filler"`  // one class out with a welder at a time
	Owner       Strictness       `toml:"owner"`       // a customer's stock for another's job
	TestAge     Strictness       `toml:"test_age"`    // older than the job allows
}

func (i *Issue) setDefaults() {
	for _, a := range []*Strictness{&i.TooMany, &i.WrongSize, &i.NotOnCard, &i.Owner} {
		def(a, Refused)
	}
	def(&i.TestAge, Warned)
}

func (i *Issue) check(c *checker) {
	oneOf(c, "issue.too_many", i.TooMany, Refused, Warned)
	oneOf(c, "issue.wrong_size", i.WrongSize, Refused, Warned)
	oneOf(c, "issue.not_on_card", i.NotOnCard, Refused, Warned)
	oneOf(c, "issue.owner", i.Owner, Refused, Warned)
	oneOf(c, "issue.test_age", i.TestAge, Refused, Warned)
	if i.RodsPerHour < 0 {
		c.amiss("issue.rods_per_hour", "is %d: write the rods that one welder burns in an hour", i.RodsPerHour)
	}
}

// issueSettings are the single values of [issue] that a replay may change.
func issueSettings() map[string]setting {
	answer := func(field func(*Issue) *Strictness) setting {
		return text(func(s *Set) *Strictness { return field(&s.Issue) }, Refused, Warned)
	}
	return map[string]setting{
		"issue.max_hours":     span(func(s *Set) *measure.Duration { return &s.Issue.MaxHours }),
		"issue.rods_per_hour": number(func(s *Set) *int64 { return &s.Issue.RodsPerHour }),
		"issue.one_filler":    flag(func(s *Set) *bool { return &s.Issue.OneFiller }),
		"issue.too_many":      answer(func(i *Issue) *Strictness { return &i.TooMany }),
		"issue.wrong_size":    answer(func(i *Issue) *Strictness { return &i.WrongSize }),
		"issue.not_on_card":   answer(func(i *Issue) *Strictness { return &i.NotOnCard }),
		"issue.owner":         answer(func(i *Issue) *Strictness { return &i.Owner }),
		"issue.test_age":      answer(func(i *Issue) *Strictness { return &i.TestAge }),
	}
}

// IssueSizeRow says how many rods one welder burns in an hour, by diameter.
type IssueSizeRow struct {
	Meta
	Match
	Diameters   []Size `toml:"diameters"` // none: all
	RodsPerHour int64  `toml:"rods_per_hour"`
}

// Size is a diameter with the text it was written as.
type Size struct {
	measure.Length
	Text string
}

// UnmarshalText reads the diameter and keeps its text.
func (s *Size) UnmarshalText(text []byte) error {
	l, err := measure.ParseLength(string(text))
	if err != nil {
		return err
	}
	*s = Size{Length: l, Text: string(text)}
	return nil
}

// Cap is how many rods one welder can burn within the time that is left, and
// what says so.
type Cap struct {
	Rods   int64
	Hours  measure.Duration
	Rate   int64
	Rule   string
	Source string
}

// Cap returns the most rods for one slip: the hours of work, never more than
// are left of the exposure limit, times the rods burnt in an hour. The second
// value is false where the set gives no rate or no time. Left is zero where no
// clock runs.
func (s *Set) Cap(sub Subject, diameter measure.Length, left measure.Duration) (Cap, bool) {
	c := Cap{Hours: s.Issue.MaxHours, Rate: s.Issue.RodsPerHour, Rule: s.ID + "/issue.rods_per_hour"}
	if left > 0 && (c.Hours == 0 || left < c.Hours) {
		c.Hours = left
	}
	var row *IssueSizeRow
	for i := range s.IssueSize {
		r := &s.IssueSize[i]
		if r.Matches(sub) && r.of(diameter) && (row == nil || r.RodsPerHour < row.RodsPerHour) {
			row = r
		}
	}
	if row != nil {
		c.Rate, c.Rule, c.Source = row.RodsPerHour, s.ID+"/"+row.Row, row.Source
	}
	if c.Rate == 0 || c.Hours == 0 {
		return Cap{}, false
	}
	c.Rods = int64(c.Hours) * c.Rate / int64(measure.Hour)
	return c, true
}

func (r *IssueSizeRow) of(d measure.Length) bool {
	for _, s := range r.Diameters {
		if s.Near(d) {
			return true
		}
	}
	return len(r.Diameters) == 0
}

// CertificateRow asks for a kind of paper with stock, whatever the job.
type CertificateRow struct {
	Meta
	Match
	Kind       string   `toml:"kind"`
	Actual     bool     `toml:"actual"`
	MaxTestAge string   `toml:"max_test_age"`
	Approvals  []string `toml:"approvals"`
}

// demand reads what the row asks for. The error is a *inventory.Refusal.
func (r *CertificateRow) demand(set string) (inventory.Demand, error) {
	d := inventory.Demand{By: set + "/" + r.Row, Source: r.Source, Actual: r.Actual, Approvals: r.Approvals}
	var err error
	if d.Kind, err = inventory.ParsePaperKind(r.Kind); err == nil {
		if d.MaxAge, err = inventory.ParseAge(r.MaxTestAge); err != nil {
			err = fmt.Errorf("max_test_age: %w", err)
		}
	}
	return d, err
}

// Demands returns what the rows of the set ask of the papers of stock.
func (s *Set) Demands(sub Subject) []inventory.Demand {
	var out []inventory.Demand
	for i := range s.Certificate {
		if !s.Certificate[i].Matches(sub) {
			continue
		}
		if d, err := s.Certificate[i].demand(s.ID); err == nil { // checked when the set was read
			out = append(out, d)
		}
	}
	return out
}
