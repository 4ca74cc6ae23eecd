package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/peopledb"
)

// personSet completes what is said of a person with what was known before.
func (d *desk) personSet(e *inventory.PersonSet) error {
	if e.Person = strings.TrimSpace(e.Person); e.Person == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "person", Why: "the person has no badge", Next: "give the badge or stamp"}
	}
	if err := d.asBefore(e); err != nil {
		return err
	}
	for i, r := range e.Roles {
		role, err := inventory.ParseRole(string(r))
		if err != nil {
			return err
		}
		e.Roles[i] = role
	}
	slices.Sort(e.Roles)
	e.Roles = slices.Compact(e.Roles)
	if err := d.term(e); err != nil {
		return err
	}
	if err := d.trainings(e); err != nil {
		return err
	}
	return d.keepsQA(e)
}

// asBefore fills in what is left out. Without a role, a fact is about the term
// or the training of somebody known.
func (d *desk) asBefore(e *inventory.PersonSet) error {
	known, err := peopledb.Of(d.ctx, d.tx, d.site, e.Person)
	if err != nil {
		return err
	}
	if len(known) == 0 {
		if len(e.Roles) > 0 {
			return nil
		}
		return &inventory.Refusal{Code: inventory.Unknown, Subject: e.Person, Value: e.Person, Why: "no such person at this site",
			Next: "set the person up with a role: ovenward person add " + e.Person + " --role attendant"}
	}
	last := slices.MaxFunc(known, func(a, b inventory.Person) int {
		return cmp.Or(cmp.Compare(a.Since, b.Since), cmp.Compare(a.Seq, b.Seq))
	})
	e.Name = cmp.Or(e.Name, last.Name)
	if len(e.Roles) == 0 {
		e.Roles, e.Since = last.Roles, cmp.Or(e.Since, string(last.Since))
		e.Until = cmp.Or(e.Until, string(last.Until))
	}
	return nil
}

// term reads since when and until when.
func (d *desk) term(e *inventory.PersonSet) error {
	e.Since = cmp.Or(e.Since, string(measure.DateOf(d.at, d.zone)))
	since, err := measure.ParseDate(e.Since)
	if err != nil {
		return inventory.FieldRefusal("since", err)
	}
	e.Since = string(since)
	if e.Until == "" {
		return nil
	}
	until, err := measure.ParseDate(e.Until)
	if err != nil {
		return inventory.FieldRefusal("until", err)
	}
	if e.Until = string(until); until < since {
		return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: e.Person, Value: e.Until, Limit: e.Since,
			Why: fmt.Sprintf("until %s is before since %s", until, since), Next: "check both days"}
	}
	return nil
}

// trainings checks that each is on a rule set that was approved here.
func (d *desk) trainings(e *inventory.PersonSet) error {
	for i, t := range e.Trained {
		if _, err := d.setByID(t.Rules); err != nil {
			return err
		}
		on, err := measure.ParseDate(cmp.Or(t.On, string(measure.DateOf(d.at, d.zone))))
		if err != nil {
			return inventory.FieldRefusal("trained on", err)
		}
		e.Trained[i].On = string(on)
	}
	return nil
}

// keepsQA warns where offices are held and nobody can release anything.
func (d *desk) keepsQA(e *inventory.PersonSet) error {
	all, err := peopledb.Office(d.ctx, d.tx, d.site)
	if err != nil {
		return err
	}
	all = append(all, inventory.Person{Badge: e.Person, Roles: e.Roles, Since: measure.Date(e.Since), Until: measure.Date(e.Until), Seq: d.head.Seq + 1})
	day := measure.DateOf(d.at, d.zone)
	if e.Until != "" {
		day = max(day, measure.Date(e.Until).AddDays(1))
	}
	crew := inventory.CrewOn(all, day)
	if crew.SetUp() && len(crew.Who([]inventory.Role{inventory.QA})) == 0 {
		d.warn("nobody holds QA's authority on %s: nothing can be released or decided until somebody does", day)
	}
	return nil
}

// Member is a person with what they were trained on.
type Member struct {
	inventory.Person
	Trained []peopledb.Trained
}

// People returns everybody who was ever set up, as they stand or last stood at
// an instant, in the order of their badges; zero is now.
func (a *App) People(ctx context.Context, at measure.Instant) (out []Member, err error) {
	err = a.read(ctx, at, func(v *view) error {
		all, err := peopledb.All(v.ctx, v.tx, v.site)
		if err != nil {
			return err
		}
		training, err := peopledb.Training(v.ctx, v.tx, v.site, "")
		if err != nil {
			return err
		}
		out = members(all, training, measure.DateOf(v.at, v.zone))
		return nil
	})
	return out, err
}

// members are the people as they stand on a day, or last stood.
func members(all []inventory.Person, training []peopledb.Trained, day measure.Date) []Member {
	endless := slices.Clone(all)
	for i := range endless {
		endless[i].Until = "" // or those who left would not be shown
	}
	var out []Member
	for _, p := range inventory.CrewOn(endless, day).People {
		i := slices.IndexFunc(all, func(o inventory.Person) bool { return o.Badge == p.Badge && o.Seq == p.Seq })
		m := Member{Person: all[i]}
		for _, t := range training {
			if t.Badge == p.Badge && t.On <= day {
				m.Trained = append(m.Trained, t)
			}
		}
		out = append(out, m)
	}
	return out
}

// Authorise refuses a person who holds none of several roles now for what the
// words say, where people are set up at the site.
func (a *App) Authorise(ctx context.Context, by string, roles []inventory.Role, words string) error {
	return a.read(ctx, 0, func(v *view) error {
		crew, err := v.crew(v.at, by)
		if err != nil {
			return err
		}
		return crew.Require(roles, by, words)
	})
}
