package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/forecast/plan"
	"ovenward/forecast/plandb"
	"ovenward/inventory"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
)

// PlanError is a file that cannot be taken for a plan.
type PlanError struct {
	Name     string         // of the file
	Problems []plan.Problem // the cells that could not be read, where no row could be
	Err      error
	Next     string
}

// Error names the file and what is wrong with it.
func (e *PlanError) Error() string { return e.Name + ": " + e.Err.Error() }

// Hint returns the next step for the user.
func (e *PlanError) Hint() string { return e.Next }

// Unwrap returns the cause.
func (e *PlanError) Unwrap() error { return e.Err }

// ReadPlan reads a file of planned joints. The error is a *PlanError: the file
// cannot be trusted as a whole, or none of its rows can be read.
func ReadPlan(name string, file []byte) (plan.Plan, error) {
	const template = "compare it with the template: ovenward plan template"
	p, err := plan.Read(bytes.NewReader(file))
	switch {
	case err != nil:
		return plan.Plan{}, &PlanError{Name: name, Err: err, Next: template}
	case len(p.Joints)+len(p.Done) > 0:
		return p, nil
	case len(p.Problems) == 0:
		return plan.Plan{}, &PlanError{Name: name, Err: errors.New("there is no joint below the header"), Next: template}
	}
	return plan.Plan{}, &PlanError{Name: name, Problems: p.Problems, Err: errors.New("not one of its rows can be read"),
		Next: "mend the rows that are listed, and load the file again"}
}

// Planned is a revision of the plan with what it says.
type Planned struct {
	Revision plandb.Revision
	Plan     plan.Plan
	Read     plan.Plan // what a file that was loaded now says by itself
	Repeat   bool      // the file is the plan already; nothing was written
	Change   Change
}

// Change is what a load changes of the plan before it.
type Change struct {
	Before             int64 // the revision; zero: there was none
	New, Changed, Gone int   // joints
}

// PlanLoad is a file that someone asks to make the plan.
type PlanLoad struct {
	By     string
	Name   string
	File   []byte
	Add    bool // lay it over the plan: its joints replace those of the same name, the others stay
	DryRun bool // say what would happen and write nothing
}

// LoadPlan makes a file the plan of the site, in one transaction. Its bad rows
// are left out and reported. A file that is the plan already is not stored
// again. The error is a *PlanError, or a *inventory.Refusal where nobody is
// named or the person is not purchasing's.
func (a *App) LoadPlan(ctx context.Context, l PlanLoad) (Planned, error) {
	p, err := ReadPlan(l.Name, l.File)
	if err != nil {
		return Planned{}, err
	}
	if l.By == "" {
		return Planned{}, nobody()
	}
	var out Planned
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(ctx, tx, a.Site); err != nil {
			return err
		}
		if err := a.mayPlan(ctx, tx, l.By, "load a plan"); err != nil {
			return err
		}
		out, err = a.appendPlan(ctx, tx, l, p)
		if err == nil && l.DryRun {
			return errDryRun
		}
		return err
	})
	if err != nil && !errors.Is(err, errDryRun) {
		return Planned{}, err
	}
	return out, nil
}

// appendPlan stores a file, unless it is the newest revision already.
func (a *App) appendPlan(ctx context.Context, tx *sqlx.Tx, l PlanLoad, p plan.Plan) (Planned, error) {
	adds := int64(0)
	newest, err := plandb.Newest(ctx, tx, a.Site)
	switch {
	case ignoreMissing(err) != nil:
		return Planned{}, err
	case err == nil && l.Add:
		adds = 1
	}
	var before plan.Plan
	if err == nil {
		if before, err = whole(ctx, tx, a.Site, newest); err != nil {
			return Planned{}, err
		}
		if bytes.Equal(newest.File, l.File) && newest.Adds == adds {
			return Planned{Revision: newest, Plan: before, Read: p, Repeat: true}, nil
		}
	}
	out := Planned{Plan: p, Read: p, Change: Change{Before: newest.Number}}
	if adds == 1 {
		out.Plan = p.Over(before)
	}
	out.Change.New, out.Change.Changed, out.Change.Gone = out.Plan.Changed(before)
	if len(out.Plan.Joints) == 0 {
		return Planned{}, &PlanError{Name: l.Name, Err: errors.New("all its joints are done, and none is left to plan"),
			Next: "load the joints that are still to be welded"}
	}
	out.Revision, err = plandb.Append(ctx, tx, a.Site, plandb.Revision{Loaded: a.now(), By: l.By, Name: l.Name, File: l.File,
		Joints: int64(len(out.Plan.Joints)), Unread: int64(UnreadRows(p)), Adds: adds})
	return out, err
}

// whole reads a revision with those before it that it is laid over.
func whole(ctx context.Context, tx *sqlx.Tx, site string, r plandb.Revision) (plan.Plan, error) {
	p, err := ReadPlan(r.Name, r.File)
	if err != nil {
		return p, fmt.Errorf("revision %d of the plan, as it was loaded: %w", r.Number, err)
	}
	for r.Adds == 1 {
		if r, err = plandb.Find(ctx, tx, site, r.Number-1); err != nil {
			return p, err
		}
		base, err := ReadPlan(r.Name, r.File)
		if err != nil {
			return p, fmt.Errorf("revision %d of the plan, as it was loaded: %w", r.Number, err)
		}
		p = p.Over(base)
	}
	return p, nil
}

// UnreadRows counts the rows of a plan that could not be read.
func UnreadRows(p plan.Plan) int {
	rows := map[int]bool{}
	for _, bad := range p.Problems {
		rows[bad.Row] = true
	}
	return len(rows)
}

// planned returns a revision of the plan; zero is the newest.
func (v *view) planned(revision int64) (Planned, error) {
	r, err := plandb.Newest(v.ctx, v.kept(), v.site)
	if errors.Is(err, db.ErrNotFound) {
		return Planned{}, &inventory.Refusal{Code: inventory.Unknown, Subject: "plan",
			Why:  "no plan is loaded at this site",
			Next: "load one: ovenward plan load FILE; ovenward plan template shows what it looks like"}
	}
	if err == nil && revision != 0 && revision != r.Number {
		newest := r.Number
		r, err = plandb.Find(v.ctx, v.kept(), v.site, revision)
		if errors.Is(err, db.ErrNotFound) {
			return Planned{}, &inventory.Refusal{Code: inventory.Unknown, Subject: "revision", Value: fmt.Sprint(revision),
				Why: fmt.Sprintf("the plan has the revisions 1 to %d", newest), Next: "name one of them"}
		}
	}
	for err == nil && v.known != 0 && r.Loaded > v.known && r.Number > 1 {
		r, err = plandb.Find(v.ctx, v.kept(), v.site, r.Number-1)
	}
	if err != nil {
		return Planned{}, err
	}
	p, err := whole(v.ctx, v.tx, v.site, r)
	return Planned{Revision: r, Plan: p}, err
}
