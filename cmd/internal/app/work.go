package app

import (
	"errors"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/storage/rules"
)

// work is what an issue is for: the joints that it names as they were set up
// then, and the job with what it asks.
type work struct {
	joints []inventory.Joint
	job    inventory.JobSet
	demand inventory.Demand
}

// lookUp finds what an issue is for, and fills in what the joints settle: the
// job, and where no bundle is scanned the one class and size that they take.
func (d *desk) lookUp(e *inventory.Issued) error {
	d.work = work{}
	for _, name := range e.Joints {
		if err := d.lookUpJoint(e, name); err != nil {
			return err
		}
	}
	d.fillIn(e)
	if e.Job == "" {
		return nil
	}
	job, err := jobdb.Job(d.ctx, d.tx, d.site, e.Job, d.at)
	if err != nil {
		return ignoreMissing(err)
	}
	d.work.job = job
	d.work.demand, err = job.Demand()
	return err
}

func (d *desk) lookUpJoint(e *inventory.Issued, name string) error {
	j, known, err := d.joint(name)
	if err != nil {
		return err
	}
	if !known {
		return d.unknownJoint(name)
	}
	d.work.joints = append(d.work.joints, j)
	switch {
	case e.Job == "":
		e.Job = j.Job
	case j.Job != "" && j.Job != e.Job:
		d.warn("joint %s is of job %s, not of %s", j.Joint, j.Job, e.Job)
	}
	return nil
}

// unknownJoint warns of a joint that nobody set up, at a site that sets joints
// up.
func (d *desk) unknownJoint(name string) error {
	any, err := jobdb.AnyJoint(d.ctx, d.tx, d.site)
	if any {
		d.flag(inventory.Unknown, "joint %s is not set up: its class, size, base metal and card are not checked", name)
	}
	return err
}

// fillIn takes from the joints what nobody has to type.
func (d *desk) fillIn(e *inventory.Issued) {
	for _, j := range d.work.joints {
		if j.Procedure != "" && !slices.Contains(e.Procedures, j.Procedure) {
			e.Procedures = append(e.Procedures, j.Procedure)
		}
		class, size := j.Only()
		if e.Bundle != "" {
			continue
		}
		if e.Class == "" {
			e.Class = class
		}
		if e.Diameter == "" {
			e.Diameter = size
		}
	}
}

// flagged are the flags of the act so far.
func (d *desk) flagged() []inventory.Flag {
	if d.act == nil {
		return nil
	}
	return slices.Clone(d.act.Flags)
}

// answered gives the refusal of a joint's or a job's rule the answer that the
// rule set chose. What is refused is remembered, to be recorded as turned away.
func (d *desk) answered(s rules.Strictness, err error) error {
	ref, ok := errors.AsType[*inventory.Refusal](err)
	if !ok {
		return err
	}
	if err = d.strictly(s, ref); err != nil {
		d.away = ref.Code
	}
	return err
}

// onTheCard refuses a welder who is not on the card of every joint.
func (d *desk) onTheCard(set *rules.Set, e *inventory.Issued) error {
	for _, j := range d.work.joints {
		if err := d.answered(set.Issue.NotOnCard, j.TakesWelder(e.Welder)); err != nil {
			return err
		}
	}
	return nil
}

// suits refuses stock that the joints or the job do not take, before anything is
// asked about its dryness.
func (d *desk) suits(set *rules.Set, l inventory.Lot, b inventory.Bundle) error {
	for _, j := range d.work.joints {
		if err := d.answered(rules.Refused, j.TakesClass(l)); err != nil {
			return err
		}
		if err := d.answered(set.Issue.WrongSize, j.TakesSize(l)); err != nil {
			return err
		}
		if err := d.answered(rules.Refused, unfit(set, j, l, b)); err != nil {
			return err
		}
	}
	if err := d.owned(set, l); err != nil {
		return err
	}
	return d.papersSuit(set, l, b)
}

// unfit refuses stock that the rule set keeps from the joint's service.
func unfit(set *rules.Set, j inventory.Joint, l inventory.Lot, b inventory.Bundle) error {
	row := set.Unfit(subject(l, b), j.Service, j.Pass)
	if row == nil {
		return nil
	}
	return &inventory.Refusal{Code: inventory.WrongClass, Subject: j.Joint, Value: l.Mark.Canonical, Limit: j.Service,
		Why:  strings.TrimSpace(l.Mark.Canonical + " does not go into " + j.Service + " work, joint " + j.Joint + ": " + row.Why),
		Rule: set.ID + "/" + row.Row, Source: row.Source, Next: "take a class that the joint's procedure names"}
}

// owned refuses a customer's stock for work that is not that customer's. The
// shop's own stock for a job that the customer supplies is only remarked.
func (d *desk) owned(set *rules.Set, l inventory.Lot) error {
	job := d.work.job
	switch {
	case l.Owner == job.Owner:
		return nil
	case l.Owner == "":
		d.flag(inventory.NotAuthorised, "job %s is welded with filler of %s; lot %s is the shop's own", job.Job, job.Owner, l.Code)
		return nil
	}
	work := "no job is named"
	if job.Job != "" {
		work = "job " + job.Job + " is not welded with it"
	}
	return d.answered(set.Issue.Owner, &inventory.Refusal{Code: inventory.NotAuthorised, Subject: l.Code, Value: l.Owner, Limit: job.Owner,
		Why: "lot " + l.Code + " belongs to " + l.Owner + "; " + work, Rule: set.ID + "/issue.owner",
		Next: "take the shop's own stock; it goes to jobs that are set up with that owner"})
}
