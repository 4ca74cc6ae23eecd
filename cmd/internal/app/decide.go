package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
)

// The dispositions of a bundle, and of a lot as a whole.
var (
	ofBundle = []string{"release", "bake", "discard"}
	ofALot   = []string{"release", "discard", "extend"}
)

// proposed takes a proposal from anybody. Nothing changes before it is decided.
func (d *desk) proposed(e *inventory.Proposed) (err error) {
	if err := d.proposedOf(e); err != nil {
		return err
	}
	if e.Why == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "why", Why: "a proposal without a reason tells QA nothing", Next: "say why"}
	}
	reference := ""
	if e.Evidence != nil {
		reference = e.Evidence.Reference
	}
	if err := d.disposes(e.Lot, e.Bundle, e.Disposition, &e.Until, reference); err != nil {
		return err
	}
	e.Proposal, err = d.newProposal(e.Proposal)
	return err
}

func (d *desk) newProposal(given string) (string, error) {
	code, err := d.assign('P', given)
	if err != nil || given == "" {
		return code, err
	}
	p, err := stockdb.FindProposal(d.ctx, d.tx, d.site, code)
	if err == nil {
		err = &inventory.Refusal{Code: inventory.Duplicate, Subject: code, Value: code,
			Why: "the code is taken by a proposal of " + p.At.In(d.zone), Next: "leave it out and the program gives one"}
	}
	return code, ignoreMissing(err)
}

// proposedOf finds what a proposal is about: a lot, a bundle, or the rods that
// are out on a slip.
func (d *desk) proposedOf(e *inventory.Proposed) error {
	named := 0
	for _, n := range []string{e.Lot, e.Bundle, e.Slip} {
		if n != "" {
			named++
		}
	}
	if e.Slip != "" && e.Slip == e.Bundle {
		named-- // as this program writes it
	}
	if named != 1 {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "proposal", Why: "a proposal is about one lot, one bundle or one slip",
			Next: "name one of them"}
	}
	if e.Lot != "" {
		_, err := d.lot(e.Lot)
		return err
	}
	if e.Slip != "" {
		s, err := d.slip(e.Slip)
		if err != nil {
			return err
		}
		e.Slip, e.Bundle = s.Code, s.Code
	}
	b, err := d.here(e.Bundle)
	e.Bundle = b.Code
	return err
}

// disposes checks that a disposition is one, for what it is about.
func (d *desk) disposes(lot, bundle, disposition string, until *string, reference string) error {
	all := ofBundle
	if bundle == "" {
		all = ofALot
	}
	if !slices.Contains(all, disposition) {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "disposition", Value: disposition,
			Why:  fmt.Sprintf("unknown disposition %q of %s", disposition, cmp.Or(bundle, "a lot")),
			Next: "use " + strings.Join(all[:2], ", ") + " or " + all[2]}
	}
	switch disposition {
	case "bake":
		return d.ruled(d.mayBake(bundle))
	case "extend":
		return d.extension(until, reference)
	}
	return nil
}

// ofProposal fills in a decision what its proposal says.
func (d *desk) ofProposal(e *inventory.Decision) error {
	if e.Proposal == "" {
		return nil
	}
	code, err := inventory.ParseCode(e.Proposal)
	if err != nil {
		return err
	}
	p, err := stockdb.FindProposal(d.ctx, d.tx, d.site, code)
	if err != nil {
		return unknown("proposal", code, "see what waits with: ovenward decide list", err)
	}
	ref := &inventory.Refusal{Code: inventory.Duplicate, Subject: p.Code, Value: e.Disposition, Limit: p.Disposition}
	switch {
	case p.Outcome != "":
		ref.Value, ref.Limit = p.Outcome, ""
		ref.Why, ref.Next = fmt.Sprintf("%s %s it at %s", p.DecidedBy, p.Outcome, p.Decided.In(d.zone)), "make a new proposal if that was wrong"
		return ref
	case e.Disposition != "" && e.Disposition != p.Disposition:
		ref.Why = fmt.Sprintf("%s proposed to %s, not to %s", p.Proposer, p.Disposition, e.Disposition)
		ref.Next = "reject it, and let somebody propose the other"
		return ref
	case d.at < p.At:
		ref.Code, ref.Value, ref.Limit = inventory.ImpossibleOrder, d.at.In(d.zone), p.At.In(d.zone)
		ref.Why, ref.Next = "decided before it was proposed", "check both times"
		return ref
	}
	e.Proposal, e.Bundle, e.Disposition, e.Until, e.Proposer = p.Code, p.Bundle, p.Disposition, p.Until, p.Proposer
	e.Reference = p.Evidence
	if e.Lot = ""; p.Bundle == "" {
		e.Lot = p.Lot
	}
	if e.Why == "" && !e.Rejected {
		e.Why = p.Why
	}
	return nil
}

// decided takes QA's disposition. Two people stand behind it: who proposed it,
// and who has QA's authority and approves or rejects it.
func (d *desk) decided(e *inventory.Decision) error {
	subject, err := d.decidedOf(e)
	if err != nil {
		return err
	}
	if !e.Rejected { // what is wrong with a proposal keeps nobody from rejecting it
		if err := d.disposes(e.Lot, e.Bundle, e.Disposition, &e.Until, e.Reference); err != nil {
			return err
		}
	}
	switch {
	case e.Why == "":
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "why", Why: "a disposition without a reason proves nothing", Next: "say why"}
	case e.Proposer == "" || e.Proposer == d.by:
		return &inventory.Refusal{Code: inventory.SamePerson, Subject: subject, Value: d.by,
			Why: "who proposes a disposition does not approve it", Next: "have another person with authority record it, with --proposer naming who proposed it"}
	}
	return nil
}

// decidedOf finds what a decision is about.
func (d *desk) decidedOf(e *inventory.Decision) (string, error) {
	if e.Bundle == "" {
		l, err := d.lot(e.Lot)
		return l.Code, err
	}
	b, err := d.here(e.Bundle)
	e.Bundle = b.Code
	return b.Code, err
}

// seen takes what somebody saw of stock.
func (d *desk) seen(e *inventory.Noted) error {
	if (e.Bundle == "") == (e.Slip == "") {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "note", Why: "a note is about one bundle or one slip", Next: "scan one of them"}
	}
	if !slices.Contains(inventory.Sights(), e.What) {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "what", Value: string(e.What), Why: fmt.Sprintf("%q is none of what is noted", e.What),
			Next: "use spot-check, handful, porosity, uneven-burn, cracked-covering or other"}
	}
	if e.What == inventory.OtherSight && e.Words == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "words", Why: "nothing is said of what was seen", Next: "say it with --words"}
	}
	if e.Slip != "" {
		s, err := d.slip(e.Slip)
		if err != nil {
			return err
		}
		e.Slip = s.Code
		return d.afterIssue(s)
	}
	b, err := d.bundle(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	if e.What.Complaint() {
		d.warn("a complaint of %s: hold the bundle or the lot if more speaks against it: ovenward lot hold", b.Code)
	}
	return d.born(b)
}
