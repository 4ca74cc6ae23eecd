package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
)

// Correction says what was wrong with a fact. The fact stays; a new one
// supersedes it with the values that are right.
type Correction struct {
	ID     string // idempotency key; made here when left out
	Fact   string // id of the fact to correct
	Reason string
	By     string
	At     measure.Instant // when it happened in truth; zero: as it stood
	Noted  measure.Instant // when it is entered; zero: now
	Values map[string]json.RawMessage
	Void   bool // it never happened
	DryRun bool
}

// Correct supersedes a fact and rebuilds what follows from it. The judgement
// that led to the action then is kept with it; what is judged from now on sees
// the corrected fact. The error is a *inventory.Refusal when the corrected fact
// contradicts others.
func (a *App) Correct(ctx context.Context, c Correction) (done Done, err error) {
	if strings.TrimSpace(c.Reason) == "" {
		return Done{}, &inventory.Refusal{Code: inventory.Unknown, Subject: "reason", Why: "a correction without a reason proves nothing",
			Next: "say why with --reason"}
	}
	if c.ID == "" {
		id, err := uuid.NewV7()
		if err != nil {
			return Done{}, err
		}
		c.ID = id.String()
	}
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if done, err = a.correct(ctx, tx, c); err == nil && c.DryRun {
			return errDryRun
		}
		return err
	})
	if err != nil && !errors.Is(err, errDryRun) {
		return Done{}, contradiction(c, err)
	}
	return done, nil
}

// contradiction is the refusal for a correction that the tables' own checks
// turned down: more out than there was, a stay that ends before it begins.
func contradiction(c Correction, err error) error {
	if !db.CheckFailed(err) {
		return err
	}
	return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: c.Fact,
		Why:  "corrected so, it contradicts facts that are recorded: more would have gone out than there was, or come back before it went",
		Next: "correct those facts first, or check the values"}
}

func (a *App) correct(ctx context.Context, tx *sqlx.Tx, c Correction) (Done, error) {
	head, err := ledgerdb.Lock(ctx, tx, a.Site)
	if err != nil {
		return Done{}, err
	}
	if first, ok, err := a.corrected(ctx, tx, c); ok || err != nil {
		return first, err
	}
	old, err := a.newest(ctx, tx, c.Fact)
	if err != nil {
		return Done{}, err
	}
	noted := c.Noted
	if noted == 0 {
		noted = a.now()
	}
	r := Request{ID: c.ID, At: old.At, By: c.By}
	if c.At != 0 {
		r.At = c.At
	}
	if err := notFuture(ctx, a, tx, r.At, max(noted, head.Noted)); err != nil {
		return Done{}, err
	}
	if r.Entry, err = c.entry(old); err != nil {
		return Done{}, err
	}
	v, err := a.view(ctx, tx, r.At)
	if err != nil {
		return Done{}, err
	}
	d := &desk{view: v, head: head, by: c.By, noted: max(noted, head.Noted)}
	f, err := d.write(r, old.ID, c.Reason)
	if err != nil {
		return Done{}, err
	}
	return Done{Fact: f, Entry: r.Entry, Warnings: d.warnings}, v.rebuildAfter(f)
}

// corrected returns the first outcome of a correction that was recorded before
// under the same id.
func (a *App) corrected(ctx context.Context, tx *sqlx.Tx, c Correction) (Done, bool, error) {
	f, err := ledgerdb.ByID(ctx, tx, a.Site, c.ID)
	if errors.Is(err, db.ErrNotFound) {
		return Done{}, false, nil
	}
	if err != nil {
		return Done{}, false, err
	}
	if f.Supersedes == "" {
		return Done{}, false, &inventory.Refusal{Code: inventory.Duplicate, Subject: c.ID, Value: c.ID,
			Why: fmt.Sprintf("the id belongs to a fact of kind %s", f.Kind), Next: "use a new id for a new fact"}
	}
	e, err := inventory.DecodeEntry(f.Kind, f.Body)
	return Done{Fact: f, Entry: e, Repeat: true}, true, err
}

// newest returns the fact that stands for an id: itself, or the last of its
// corrections.
func (a *App) newest(ctx context.Context, tx *sqlx.Tx, id string) (ledger.Fact, error) {
	f, err := ledgerdb.ByID(ctx, tx, a.Site, id)
	if err != nil {
		return f, unknown("fact", id, "find its id with: ovenward ledger list", err)
	}
	for {
		next, ok, err := ledgerdb.SupersededBy(ctx, tx, a.Site, f.ID)
		if err != nil || !ok {
			return f, err
		}
		f = next
	}
}

// entry lays the new values over the old entry.
func (c Correction) entry(old ledger.Fact) (inventory.Entry, error) {
	if c.Void {
		return &inventory.Voided{Was: old.Kind}, nil
	}
	if !correctable[old.Kind] {
		return nil, &inventory.Refusal{Code: inventory.Unknown, Subject: old.ID, Value: old.Kind,
			Why:  fmt.Sprintf("a fact of kind %s is not corrected", old.Kind),
			Next: "record what is right as a new fact"}
	}
	var body map[string]json.RawMessage
	if err := json.Unmarshal([]byte(old.Body), &body); err != nil {
		return nil, err
	}
	for name, v := range c.Values {
		body[name] = v
	}
	merged, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	return inventory.DecodeStrict(old.Kind, merged)
}

// correctable are the kinds whose facts speak of lots, which can be rebuilt one
// by one.
var correctable = map[string]bool{"receive": true, "release": true, "hold": true, "open": true, "move": true, "join": true,
	"issue": true, "return": true, "bake": true, "wet": true, "scrap": true, "count": true, "decide": true}

// rebuildAfter rebuilds every lot that a correction touches.
func (v *view) rebuildAfter(f ledger.Fact) error {
	old, err := ledgerdb.ByID(v.ctx, v.tx, v.site, f.Supersedes)
	if err != nil {
		return err
	}
	root, err := v.root(old)
	if err != nil {
		return err
	}
	lots, err := stockdb.LotsOfFact(v.ctx, v.tx, v.site, root.Seq)
	if err != nil {
		return err
	}
	for _, lot := range lots {
		if err := v.rebuildLot(lot); err != nil {
			return err
		}
	}
	return nil
}

// root returns the first fact of a chain of corrections: its place in the
// order of facts is where the corrected one is applied.
func (v *view) root(f ledger.Fact) (ledger.Fact, error) {
	for f.Supersedes != "" {
		var err error
		if f, err = ledgerdb.ByID(v.ctx, v.tx, v.site, f.Supersedes); err != nil {
			return f, err
		}
	}
	return f, nil
}

// rebuildLot drops a lot's projections and applies its facts as they stand.
func (v *view) rebuildLot(lot string) error {
	seqs, err := stockdb.FactsOfLot(v.ctx, v.tx, v.site, lot)
	if err != nil {
		return err
	}
	if err := stockdb.ForgetLot(v.ctx, v.tx, v.site, lot); err != nil {
		return err
	}
	for _, seq := range seqs {
		page, err := ledgerdb.Page(v.ctx, v.tx, v.site, seq-1, 1)
		if err != nil {
			return err
		}
		if err := v.applyEffective(page[0]); err != nil {
			return err
		}
	}
	return stockdb.CheckOrder(v.ctx, v.tx, v.site, lot)
}

// applyEffective applies what stands for a fact, in the fact's place.
func (v *view) applyEffective(f ledger.Fact) error {
	if f.Supersedes != "" {
		return nil // applied in the place of the first of its chain
	}
	newest, err := v.app.newest(v.ctx, v.tx, f.ID)
	if err != nil {
		return err
	}
	newest.Seq = f.Seq
	e, err := inventory.DecodeEntry(newest.Kind, newest.Body)
	if err != nil {
		return err
	}
	return v.apply(newest, e)
}
