package rules

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// setting changes one value of a set.
type setting func(s *Set, value string) error

// settings are the single values of a set that a replay may change, by name.
func settings() map[string]setting {
	all := map[string]setting{
		"clock.policy":       text(func(s *Set) *Policy { return &s.Clock.Policy }, Running, Summed),
		"clock.warn_percent": number(func(s *Set) *int64 { return &s.Clock.WarnPercent }),
		"return.at_limit":    text((*Set).atLimit, BakeAtLimit, HoldAtLimit),
		"evidence.max_gap":   span(func(s *Set) *measure.Duration { return &s.Evidence.MaxGap }),
		"evidence.missing":   text((*Set).missing, MissingQAHold, MissingOpen),
		"oven.excursion":     text((*Set).excursion, ExcursionExposure, ExcursionQAHold),
		"bake.max":           number(func(s *Set) *int64 { return &s.Bakes.Max }),
		"bake.max_total":     span(func(s *Set) *measure.Duration { return &s.Bakes.MaxTotal }),
		"bake.load_lag":      span(func(s *Set) *measure.Duration { return &s.Bakes.LoadLag }),
		"first_bake.counts":  flag(func(s *Set) *bool { return &s.Bakes.FirstCounts }),
		"stubs.count":        flag(func(s *Set) *bool { return &s.Stubs.Count }),
		"people.training":    text(func(s *Set) *Strictness { return &s.People.Training }, Unchecked, Warned, Refused),
		"people.welders":     text(func(s *Set) *Strictness { return &s.People.Welders }, Unchecked, Warned, Refused),
		"hold.max_days":      (*Set).limitHolding,
		"packet.limit":       (*Set).limitPacket,
		"air.max_gap":        span(func(s *Set) *measure.Duration { return &s.Air.MaxGap }),
		"air.daily":          flag(func(s *Set) *bool { return &s.Air.Daily }),
		"advice.moisture":    flag(func(s *Set) *bool { return &s.Advice.Moisture }),

		"oven.check_every":      span(func(s *Set) *measure.Duration { return &s.Oven.Every }),
		"oven.past_calibration": text(func(s *Set) *Strictness { return &s.Oven.Lapsed }, Unchecked, Warned, Refused),
		"hopper.limit":          (*Set).limitHopper,
		"shelf.warn_days":       number(func(s *Set) *int64 { return &s.Shelf.WarnDays }),
		"shelf.last_days":       number(func(s *Set) *int64 { return &s.Shelf.LastDays }),
		"papers.wait_days":      number(func(s *Set) *int64 { return &s.Papers.WaitDays }),

		"blend.new_min_percent":      (*Set).blendNew,
		"blend.recycled_max_percent": (*Set).blendRecycled,

		"wire.clock":              (*Set).clockWire,
		"wire.count_while_bagged": (*Set).bagWire,
	}
	maps.Copy(all, issueSettings())
	return all
}

func (s *Set) atLimit() *AtLimit     { return &s.Clock.ReturnAtLimit }
func (s *Set) missing() *Missing     { return &s.Evidence.Missing }
func (s *Set) excursion() *Excursion { return &s.Oven.Excursion }

// With returns a copy of the set with single settings changed, its edition
// marked so that nobody takes it for the set itself. The error names the
// setting: a *inventory.Refusal where there is no such setting, else what is
// wrong with its value.
func (s *Set) With(changes map[string]string) (*Set, error) {
	if len(changes) == 0 {
		return s, nil
	}
	c, all := *s, settings()
	for _, name := range slices.Sorted(maps.Keys(changes)) {
		apply, ok := all[name]
		if !ok {
			return nil, &inventory.Refusal{Code: inventory.Unknown, Subject: name,
				Why:  "no such setting of a rule set",
				Next: "use one of: " + strings.Join(slices.Sorted(maps.Keys(all)), ", ")}
		}
		if err := apply(&c, changes[name]); err != nil {
			return nil, fmt.Errorf("setting %s: %w", name, err)
		}
		if err := c.sound(); err != nil {
			return nil, fmt.Errorf("setting %s: %w", name, err)
		}
		c.Edition += fmt.Sprintf(" +%s=%s", name, changes[name])
	}
	return &c, nil
}

// sound returns what is wrong with a set that was changed since it was read.
func (s *Set) sound() error {
	check := checker{page: newPage(s.ID, ""), set: s}
	check.all()
	return errors.Join(check.faults...)
}

func text[T ~string](field func(*Set) *T, allowed ...T) setting {
	return func(s *Set, value string) error {
		if !slices.Contains(allowed, T(value)) {
			return fmt.Errorf("%q is none of %q", value, allowed)
		}
		*field(s) = T(value)
		return nil
	}
}

func number(field func(*Set) *int64) setting {
	return func(s *Set, value string) error {
		n, err := strconv.ParseInt(value, 10, 32)
		if err != nil || n < 0 {
			return fmt.Errorf("%q is not a whole number", value)
		}
		*field(s) = n
		return nil
	}
}

func span(field func(*Set) *measure.Duration) setting {
	return func(s *Set, value string) error {
		d, err := measure.ParseDuration(value)
		if err != nil {
			return err
		}
		*field(s) = d
		return nil
	}
}

func flag(field func(*Set) *bool) setting {
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

func (s *Set) limitHopper(value string) error {
	d, err := measure.ParseDuration(value)
	if err != nil {
		return err
	}
	s.Hopper = []HopperRow{{Meta: changed("hopper"), Limit: d}}
	return nil
}
