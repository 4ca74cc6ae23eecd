package app

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
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

// Correct supersedes a fact and rebuilds what follows from it. The corrected
// fact is decided as things stood when it happened, but a rule cannot undo what
// has happened: what a rule would have refused is a warning. The judgement that
// led to the action then is kept with it; what is judged from now on sees the
// corrected fact. The error is a *inventory.Refusal when the corrected fact
// contradicts others.
func (a *App) Correct(ctx context.Context, c Correction) (done Done, err error) {
	if strings.TrimSpace(c.By) == "" {
		return Done{}, nobody()
	}
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
	err = a.write(ctx, func(tx *sqlx.Tx) error {
		if done, err = a.correct(ctx, tx, c); err == nil && c.DryRun {
			return errDryRun
		}
		return err
	})
	if err != nil && !errors.Is(err, errDryRun) {
		return Done{}, err
	}
	return done, nil
}

func (a *App) correct(ctx context.Context, tx *sqlx.Tx, c Correction) (Done, error) {
	head, noted, err := a.enter(ctx, tx, c.Noted)
	if err != nil {
		return Done{}, err
	}
	first, ok, err := a.recorded(ctx, tx, c.ID, func(f ledger.Fact) bool { return f.Supersedes != "" })
	if ok || err != nil {
		return first, err
	}
	v, err := a.view(ctx, tx, noted)
	if err != nil {
		return Done{}, err
	}
	old, err := v.standsFor(c.Fact)
	if err != nil {
		return Done{}, err
	}
	r := Request{ID: c.ID, At: cmp.Or(c.At, old.At), By: c.By}
	if err := notFuture(ctx, a, tx, r.At, noted); err != nil {
		return Done{}, err
	}
	if r.Entry, err = c.entry(old); err != nil {
		return Done{}, err
	}
	v.at = r.At
	d := &desk{view: v, head: head, id: c.ID, by: c.By, noted: noted, happened: true}
	if err := d.mayRecord(old.Kind); err != nil {
		return Done{}, err
	}
	return d.correct(r, old, c.Reason)
}

// correct puts the corrected fact in the place of the first of its chain.
func (d *desk) correct(r Request, old ledger.Fact, reason string) (Done, error) {
	if err := d.shelved(r.Entry); err != nil {
		return Done{}, err
	}
	if err := d.named(r.Entry); err != nil {
		return Done{}, err
	}
	first, later, err := d.makeRoomIn(old, r)
	if err != nil {
		return Done{}, err
	}
	if err := d.decideAgain(r.Entry, old); err != nil {
		return Done{}, err
	}
	f, err := d.append(r, old.ID, reason)
	if err != nil {
		return Done{}, err
	}
	if f.Body == old.Body && f.At == old.At {
		return Done{}, &inventory.Refusal{Code: inventory.Duplicate, Subject: old.ID, Value: old.ID, Why: "it says so already",
			Next: "give the values that are right, or the time with --at"}
	}
	placed := f
	placed.Seq, placed.By = first.Seq, first.By
	if err := d.apply(placed, r.Entry); err != nil {
		return Done{}, err
	}
	return Done{Fact: f, Entry: r.Entry, Warnings: d.warnings}, d.again(later, r.At, r.Entry)
}

// makeRoomIn prepares for a correction of a fact: its lots are taken back to
// when it happened in truth. It returns the fact that was recorded first, and
// the later ones, to be applied again.
func (d *desk) makeRoomIn(old ledger.Fact, r Request) (first ledger.Fact, later []ledger.Fact, err error) {
	if first, err = d.first(old); err != nil {
		return first, nil, err
	}
	lots, err := d.lotsCorrected(r.Entry, old)
	if err != nil {
		return first, nil, err
	}
	later, err = d.rewind(lots, turn{r.At, first.Seq}, first.Seq, r.Entry)
	return first, later, err
}

// lotsCorrected returns the lots that a fact spoke of and those that it speaks
// of now.
func (d *desk) lotsCorrected(e inventory.Entry, old ledger.Fact) ([]string, error) {
	lots, err := d.lotsOf(e)
	if err != nil {
		return nil, err
	}
	was, err := entryOf(old)
	if err != nil || was == nil {
		return lots, err
	}
	if lot := ofLot(was); lot != "" {
		lots = append(lots, lot)
	}
	for _, code := range names(was) {
		b, err := stockdb.Bundle(d.ctx, d.tx, d.site, code)
		if ignoreMissing(err) != nil {
			return nil, err
		}
		if err == nil {
			lots = append(lots, b.Lot)
		}
	}
	slices.Sort(lots)
	return slices.Compact(lots), nil
}

// decideAgain decides a corrected entry and keeps the judgement of the old one.
func (d *desk) decideAgain(e inventory.Entry, old ledger.Fact) error {
	if _, void := e.(*inventory.Voided); void {
		return nil
	}
	if err := d.begin(e); err != nil {
		return err
	}
	if err := d.decide(e); err != nil {
		return err
	}
	was, err := inventory.DecodeEntry(old.Kind, old.Body)
	if err != nil {
		return err
	}
	switch e := e.(type) {
	case *inventory.Issued:
		e.Judged = was.(*inventory.Issued).Judged
	case *inventory.Returned:
		e.Judged = was.(*inventory.Returned).Judged
	case *inventory.Scrapped:
		e.Judged = was.(*inventory.Scrapped).Judged
	case *inventory.Blended:
		e.Judged = was.(*inventory.Blended).Judged
	}
	return nil
}

// standsFor returns the fact that stands for an id: itself, or the last of its
// corrections.
func (v *view) standsFor(id string) (ledger.Fact, error) {
	f, err := ledgerdb.ByID(v.ctx, v.facts(), v.site, id)
	if err != nil {
		return f, unknown("fact", id, "find its id with: ovenward ledger list", err)
	}
	return v.newest(f)
}

// entry lays the new values over the old entry.
func (c Correction) entry(old ledger.Fact) (inventory.Entry, error) {
	if c.Void && (ofStock(old.Kind) || old.Kind == "day") {
		return &inventory.Voided{Was: old.Kind}, nil
	}
	ref := &inventory.Refusal{Code: inventory.Unknown, Subject: old.ID, Value: old.Kind,
		Why: fmt.Sprintf("a fact of kind %s is not corrected", old.Kind), Next: "record what is right as a new fact"}
	if c.Void || !ofStock(old.Kind) {
		return nil, ref
	}
	for _, kept := range []string{"judged", "override", "overrode", "flags"} {
		if _, ok := c.Values[kept]; ok {
			ref.Why, ref.Next = "what was judged and decided then is kept as it was", "correct what was seen; it is judged anew from that"
			return nil, ref
		}
	}
	var body map[string]json.RawMessage
	if err := json.Unmarshal([]byte(old.Body), &body); err != nil {
		return nil, err
	}
	maps.Copy(body, c.Values)
	merged, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	return inventory.DecodeStrict(old.Kind, merged)
}
