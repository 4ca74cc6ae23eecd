package stockdb

import (
	"cmp"
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Proposal is what somebody proposed to do with stock, and what became of it.
type Proposal struct {
	Code        string          `db:"proposal" json:"proposal"`
	Lot         string          `db:"lot" json:"lot"`
	Bundle      string          `db:"bundle" json:"bundle,omitempty"` // empty: the lot as a whole
	Slip        string          `db:"slip" json:"slip,omitempty"`     // that the bundle was out on
	Disposition string          `db:"disposition" json:"disposition"`
	Until       string          `db:"until" json:"until,omitempty"` // of an extension
	Why         string          `db:"why" json:"why"`
	Evidence    string          `db:"evidence" json:"evidence,omitempty"`
	Digest      string          `db:"digest" json:"digest,omitempty"` // of the evidence's file
	Proposer    string          `db:"proposer" json:"proposer"`
	At          measure.Instant `db:"at_us" json:"at_us"`
	Outcome     string          `db:"outcome" json:"outcome,omitempty"` // empty while it waits, "approved" or "rejected"
	DecidedBy   string          `db:"decided_by" json:"decided_by,omitempty"`
	Decided     measure.Instant `db:"decided_us" json:"decided_us,omitempty"`
	Reason      string          `db:"reason" json:"reason,omitempty"`
}

const proposals = `SELECT proposal, lot, bundle, slip, disposition, until, why, evidence, digest, proposer, at_us,
	outcome, decided_by, decided_us, reason FROM proposal WHERE site = $1 `

// FindProposal returns a proposal by its code. The error wraps db.ErrNotFound.
func FindProposal(ctx context.Context, tx *sqlx.Tx, site, code string) (Proposal, error) {
	return get[Proposal](ctx, tx, "proposal "+code, proposals+`AND proposal = $2`, site, code)
}

// Waiting returns the proposals that nobody has decided, oldest first.
func Waiting(ctx context.Context, tx *sqlx.Tx, site string) ([]Proposal, error) {
	return list[Proposal](ctx, tx, "proposals", proposals+`AND outcome = '' ORDER BY at_us, proposal`, site)
}

// ProposalsMade returns the proposals of a stretch of time, the later end not
// included, oldest first.
func ProposalsMade(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]Proposal, error) {
	return list[Proposal](ctx, tx, "proposals", proposals+`AND at_us >= $2 AND at_us < $3 ORDER BY at_us, proposal`, site, from, to)
}

func (a *applier) proposed(e *inventory.Proposed) error {
	lot := e.Lot
	if lot == "" {
		b, err := a.bundle(e.Bundle)
		if err != nil {
			return err
		}
		lot = b.Lot
	} else if err := a.note(lot); err != nil {
		return err
	}
	evidence := cmp.Or(e.Evidence, new(inventory.Reference))
	err := a.exec(`INSERT INTO proposal (site, proposal, seq, lot, bundle, slip, disposition, until, why, evidence, digest,
			proposer, at_us, outcome, decided_by, decided_us, reason)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, '', '', 0, '')`,
		a.site, e.Proposal, a.seq, lot, e.Bundle, e.Slip, e.Disposition, e.Until, e.Why, evidence.Reference, evidence.Digest, a.by, a.at)
	if err != nil {
		return err
	}
	return a.used(e.Proposal)
}

// decided applies QA's disposition. A rejected one changes nothing but that it
// does not wait any more.
func (a *applier) decided(e *inventory.Decision) error {
	if err := a.settle(e); err != nil || e.Rejected {
		return err
	}
	if e.Bundle == "" {
		return a.decidedOfLot(e)
	}
	if err := a.happen(e.Bundle, inventory.Decided, e.Disposition); err != nil {
		return err
	}
	return a.exec(`UPDATE bundle SET hold = '' WHERE site = $1 AND bundle = $2`, a.site, e.Bundle)
}

// settle closes the proposal that a decision is of.
func (a *applier) settle(e *inventory.Decision) error {
	if e.Proposal == "" {
		return nil
	}
	p := Proposal{}
	if err := a.get(&p, "proposal "+e.Proposal, proposals+`AND proposal = $2`, a.site, e.Proposal); err != nil {
		return err
	}
	if err := a.note(p.Lot); err != nil {
		return err
	}
	outcome := "approved"
	if e.Rejected {
		outcome = "rejected"
	}
	return a.exec(`UPDATE proposal SET outcome = $3, decided_by = $4, decided_us = $5, reason = $6 WHERE site = $1 AND proposal = $2`,
		a.site, e.Proposal, outcome, a.by, a.at, e.Why)
}

// decidedOfLot lets a lot go out, keeps it in for good, or moves its last day. An
// extension without the test that it rests on moves nothing: it is from before
// decisions named one, and the day was entered by itself.
func (a *applier) decidedOfLot(e *inventory.Decision) error {
	if err := a.note(e.Lot); err != nil {
		return err
	}
	switch e.Disposition {
	case "release":
		return a.setLotStatus(e.Lot, inventory.Released, e.Why)
	case "discard":
		return a.setLotStatus(e.Lot, inventory.Held, "to be discarded: "+e.Why)
	case "extend":
		if e.Reference != "" {
			return a.extended(&inventory.Extended{Lot: e.Lot, Until: e.Until, Reference: e.Reference})
		}
	}
	return nil
}
