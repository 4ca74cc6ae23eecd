package rules

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// settings are the single values of a set that a replay may change, by the
// name they have in a rule file.
var settings = map[string]func(s *Set, value string) error{
	"clock.policy":       text(func(s *Set) *Policy { return &s.Clock.Policy }, Running, Summed),
	"clock.warn_percent": number(func(s *Set) *int64 { return &s.Clock.WarnPercent }),
	"return.at_limit":    text(func(s *Set) *AtLimit { return &s.Clock.ReturnAtLimit }, BakeAtLimit, HoldAtLimit),
	"evidence.max_gap":   span(func(s *Set) *measure.Duration { return &s.Evidence.MaxGap }),
	"evidence.missing":   text(func(s *Set) *Missing { return &s.Evidence.Missing }, MissingQAHold, MissingOpen),
	"oven.excursion":     text(func(s *Set) *Excursion { return &s.Oven.Excursion }, ExcursionExposure, ExcursionQAHold),
	"bake.max":           number(func(s *Set) *int64 { return &s.Bakes.Max }),
	"bake.load_lag":      span(func(s *Set) *measure.Duration { return &s.Bakes.LoadLag }),
	"first_bake.counts":  flag(func(s *Set) *bool { return &s.Bakes.FirstCounts }),
	"issue.max_hours":    span(func(s *Set) *measure.Duration { return &s.Issue.MaxHours }),
	"stubs.count":        flag(func(s *Set) *bool { return &s.Stubs.Count }),
	"hold.max_days":      (*Set).limitHolding,
	"packet.limit":       (*Set).limitPacket,
}

// With returns a copy of the set with single settings changed, named so that
// nobody takes it for the set itself. The error names the setting.
func (s *Set) With(changes map[string]string) (*Set, error) {
	if len(changes) == 0 {
		return s, nil
	}
	c := *s
	names := make([]string, 0, len(changes))
	for name := range changes {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		apply, ok := settings[name]
		if !ok {
			return nil, &inventory.Refusal{Code: inventory.Unknown, Subject: name, Why: "no such setting of a rule set",
				Next: "use one of: " + strings.Join(settingNames(), ", ")}
		}
		if err := apply(&c, changes[name]); err != nil {
			return nil, fmt.Errorf("setting %s: %w", name, err)
		}
		c.Edition += fmt.Sprintf(" +%s=%s", name, changes[name])
	}
	return &c, nil
}

func settingNames() []string {
	names := make([]string, 0, len(settings))
	for name := range settings {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

func text[T ~string](field func(*Set) *T, allowed ...T) func(*Set, string) error {
	return func(s *Set, value string) error {
		if !slices.Contains(allowed, T(value)) {
			return fmt.Errorf("%q is none of %q", value, allowed)
		}
		*field(s) = T(value)
		return nil
	}
}

func number(field func(*Set) *int64) func(*Set, string) error {
	return func(s *Set, value string) error {
		n, err := strconv.ParseInt(value, 10, 32)
		if err != nil || n < 0 {
			return fmt.Errorf("%q is not a whole number", value)
		}
		*field(s) = n
		return nil
	}
}

func span(field func(*Set) *measure.Duration) func(*Set, string) error {
	return func(s *Set, value string) error {
		d, err := measure.ParseDuration(value)
		if err != nil {
			return err
		}
		*field(s) = d
		return nil
	}
}

func flag(field func(*Set) *bool) func(*Set, string) error {
	return func(s *Set, value string) error {
		b, err := strconv.ParseBool(value)
		if err != nil {
			return fmt.Errorf("%q is neither true nor false", value)
		}
		*field(s) = b
		return nil
	}
}

// changed is what a row says of itself after a replay changed its figure.
func changed(row string) Meta {
	return Meta{Row: row, Authority: Code, Source: "changed for this replay", Status: Shop}
}

func (s *Set) limitHolding(value string) error {
	n, err := strconv.ParseInt(value, 10, 32)
	if err != nil || n <= 0 {
		return fmt.Errorf("%q is not a number of days", value)
	}
	s.Holding = []HoldingRow{{Meta: changed("holding-days"), MaxDays: n}}
	return nil
}

func (s *Set) limitPacket(value string) error {
	d, err := measure.ParseDuration(value)
	if err != nil {
		return err
	}
	s.Packet = []PacketRow{{Meta: changed("packet"), Limit: d}}
	return nil
}
