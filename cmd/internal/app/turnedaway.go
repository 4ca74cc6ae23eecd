package app

import (
	"context"
	"errors"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/measure"
)

// turnedAway is the refusal of an issue by a joint's or a job's rule, with what
// is to be recorded of it: who asked for the wrong filler is worth knowing, and
// nothing went out that would show it.
type turnedAway struct {
	error
	fact *inventory.TurnedAway
}

// Unwrap returns the refusal.
func (t *turnedAway) Unwrap() error { return t.error }

// turned marks the refusal of an issue that a joint's or a job's rule refused.
func (d *desk) turned(e *inventory.Issued, err error) error {
	ref, ok := errors.AsType[*inventory.Refusal](err)
	if !ok || d.away == "" || ref.Code != d.away {
		return err
	}
	return &turnedAway{err, &inventory.TurnedAway{Code: ref.Code, Subject: ref.Subject, Why: ref.Why, Rule: ref.Rule, Welder: e.Welder,
		Bundle: e.Bundle, Class: e.Class, Diameter: e.Diameter, Pieces: e.Pieces, Mass: e.Mass, Job: e.Job, Joints: e.Joints}}
}

// TurnedAway returns the issues that joints' and jobs' rules refused between two
// instants, oldest first.
func (a *App) TurnedAway(ctx context.Context, from, to measure.Instant) (out []jobdb.Stood[inventory.TurnedAway], err error) {
	err = a.read(ctx, 0, func(v *view) error {
		out, err = jobdb.TurnedAway(v.ctx, v.tx, v.site, from, to)
		return err
	})
	return out, err
}

// noteTurnedAway records an issue that was turned away, in a transaction of its
// own, and returns the refusal.
func (a *App) noteTurnedAway(ctx context.Context, r Request, err error) error {
	t, ok := errors.AsType[*turnedAway](err)
	if !ok || r.DryRun {
		return err
	}
	id, failed := uuid.NewV7()
	if failed != nil {
		return errors.Join(t.error, failed)
	}
	r.ID, r.Entry = id.String(), t.fact
	failed = a.write(ctx, func(tx *sqlx.Tx) error {
		_, err := a.attempt(ctx, tx, r, 0)
		return err
	})
	return errors.Join(t.error, failed)
}
