package app

import (
	"errors"
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/peopledb"
	"ovenward/storage/rules"
)

// crew returns the people who hold an office, as they stood on the day of an
// instant, and those of some badges whatever they are.
func (v *view) crew(at measure.Instant, badges ...string) (inventory.Crew, error) {
	day := measure.DateOf(at, v.zone)
	if v.office == nil {
		list, err := peopledb.Office(v.ctx, v.tx, v.site)
		if err != nil {
			return inventory.Crew{}, err
		}
		v.office = &list
	}
	all := *v.office
	for _, b := range badges {
		of, err := peopledb.Of(v.ctx, v.tx, v.site, b)
		if err != nil {
			return inventory.Crew{}, err
		}
		all = append(all[:len(all):len(all)], of...)
	}
	return inventory.CrewOn(all, day), nil
}

// authorised refuses who may not record an entry, and flags what was done by
// one who might not do it. What happened is recorded all the same: it is flagged,
// never hidden.
func (d *desk) authorised(e inventory.Entry) error {
	if err := d.mayRecord(e.Kind()); err != nil && !d.standsIn(e, err) {
		return err
	}
	switch e := e.(type) {
	case *inventory.Issued:
		if e.Override != nil && e.Bundle == "" {
			return &inventory.Refusal{Code: inventory.Unknown, Subject: "override",
				Why: "an override is for one bundle, and none is named", Next: "scan the bundle that it is for"}
		}
	case *inventory.Decision:
		if err := d.ofProposal(e); err != nil {
			return err
		}
	}
	return d.begin(e)
}

// standsIn reports whether the refusal of who records an entry waits for what
// comes of its override. Who grants one records it, and need not be an attendant
// where an attendant asked.
func (d *desk) standsIn(e inventory.Entry, err error) bool {
	ref, refused := errors.AsType[*inventory.Refusal](err)
	act := inventory.ActOf(e)
	if !refused || act == nil || act.Override == nil {
		return false
	}
	d.standIn = ref
	return true
}

// stoodIn refuses who recorded an act of others without an override that was
// needed, or one that nobody asked for who might have done the act.
func (d *desk) stoodIn(e inventory.Entry) error {
	if d.standIn == nil {
		return nil
	}
	crew, err := d.crew(d.noted)
	if err != nil {
		return err
	}
	if len(d.act.Overrode) == 0 || !crew.Holds(d.act.Override.Proposer, inventory.MayRecord(e.Kind())) {
		return d.standIn
	}
	return nil
}

func (d *desk) mayRecord(kind string) error {
	crew, err := d.crew(d.noted)
	if err != nil || crew.Check(kind, d.by) == nil {
		return err
	}
	if crew, err = d.crew(d.noted, d.by); err != nil { // knows what a welder is, too
		return err
	}
	return crew.Check(kind, d.by)
}

// begin takes an entry's act in hand: what the program writes in it is written
// anew.
func (d *desk) begin(e inventory.Entry) error {
	d.act, d.asker = inventory.ActOf(e), ""
	if d.act == nil {
		return nil
	}
	if !d.happened {
		d.act.Overrode = nil
	}
	d.act.Flags = nil
	roles := inventory.MayRecord(e.Kind())
	crew, err := d.crew(d.at)
	if err != nil {
		return err
	}
	if o := d.act.Override; o != nil && crew.Holds(o.Proposer, roles) && !crew.Holds(d.by, roles) {
		d.asker = o.Proposer
	}
	doer := d.doer()
	crew, err = d.crew(d.at, doer)
	if err != nil || len(roles) == 0 || !crew.SetUp() || crew.Holds(doer, roles) {
		return err
	}
	d.flag(inventory.NotAuthorised, "%s, and did what takes %s", crew.Standing(doer), inventory.Titles(roles))
	return nil
}

// doer is who did what is recorded.
func (d *desk) doer() string {
	switch {
	case d.act != nil && d.act.Actor != "":
		return d.act.Actor
	case d.asker != "":
		return d.asker
	}
	return d.by
}

// flag marks the act as one to be looked at.
func (d *desk) flag(code inventory.Code, format string, args ...any) {
	why := fmt.Sprintf(format, args...)
	d.warn("%s", why)
	if d.act != nil {
		d.act.Flags = append(d.act.Flags, inventory.Flag{Code: code, Why: why})
	}
}

// strictly flags an act or refuses it.
func (d *desk) strictly(s rules.Strictness, ref *inventory.Refusal) error {
	if s == rules.Refused {
		return d.ruled(ref)
	}
	d.flag(ref.Code, "%s", ref.Why)
	return nil
}

// trained asks whether who does it was trained on the rule set that it is done
// by. It is asked once people are set up.
func (d *desk) trained(set *rules.Set) error {
	crew, err := d.crew(d.at)
	if err != nil || set.People.Training == rules.Unchecked || !crew.SetUp() {
		return err
	}
	doer, day := d.doer(), measure.DateOf(d.at, d.zone)
	had, err := peopledb.Training(d.ctx, d.tx, d.site, doer)
	if err != nil {
		return err
	}
	for _, t := range had {
		if t.Rules == set.ID && t.On <= day {
			return nil
		}
	}
	return d.strictly(set.People.Training, &inventory.Refusal{Code: inventory.NotAuthorised, Subject: doer, Value: doer, Limit: set.ID,
		Why: fmt.Sprintf("%s was not trained on rule set %s by %s", doer, set.ID, day), Rule: set.ID + "/people.training",
		Next: "train first, or let someone who was do it; QA records it with ovenward person train " + doer + " --rules " + set.ID})
}

// takes asks whether a badge is a welder's of the shop. It is asked once welders
// are set up.
func (d *desk) takes(set *rules.Set, welder string) error {
	if set.People.Welders == rules.Unchecked {
		return nil
	}
	crew, err := d.crew(d.at, welder)
	if err != nil || crew.Holds(welder, []inventory.Role{inventory.Welder}) {
		return err
	}
	day := measure.DateOf(d.at, d.zone)
	if any, err := peopledb.HasWelders(d.ctx, d.tx, d.site, day); err != nil || !any {
		return err
	}
	return d.strictly(set.People.Welders, &inventory.Refusal{Code: inventory.NotAuthorised, Subject: welder, Value: crew.Standing(welder),
		Limit: inventory.Welder.Title(), Rule: set.ID + "/people.welders",
		Why:  fmt.Sprintf("rods go out to %s, who is no welder of this shop on %s", welder, day),
		Next: "read the badge again; QA sets a welder up with ovenward person add " + welder + " --role welder"})
}
