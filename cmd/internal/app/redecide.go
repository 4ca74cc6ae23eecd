package app

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// Redecided is what became of a site's stored decisions when each was made again
// from what was known when it was made.
type Redecided struct {
	Decisions int64       // issues, returns, scrappings and blends with the judgement that led to them
	Different []Differing // those that came to something else, in the order of their entry
}

// Differing is a stored decision that comes to something else now.
type Differing struct {
	Fact   ledger.Fact
	Of     string // the slip or the bundle that it was about
	Stored string // what is stored, of that only what differs
	Now    string // what it comes to
}

// Redecide goes through a site's facts in the order of their entry and decides
// every one that keeps a judgement again, by the code that decided it, from the
// facts that were there before it and the readings that had come in. A correction
// keeps the judgement of what it corrects, which is not made again.
func (a *App) Redecide(ctx context.Context) (out Redecided, err error) {
	err = a.DB.Read(ctx, func(facts *sqlx.Tx) (err error) {
		d, err := db.Scratch(ctx)
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, d.Close()) }()
		return d.Write(ctx, func(made *sqlx.Tx) error {
			out, err = a.redecide(ctx, facts, made)
			return err
		})
	})
	return out, err
}

func (a *App) redecide(ctx context.Context, facts, made *sqlx.Tx) (Redecided, error) {
	head, err := ledgerdb.Lock(ctx, made, a.Site)
	if err != nil {
		return Redecided{}, err
	}
	r := &redecider{app: a, facts: facts, made: made, head: head, sets: map[string]*rules.Set{}}
	err = ledgerdb.Each(ctx, facts, a.Site, 0, func(f ledger.Fact) error { return r.fact(ctx, f) })
	return r.out, err
}

// redecider goes through the facts of a site, which follow one after the other
// in a database of its own.
type redecider struct {
	app         *App
	facts, made *sqlx.Tx
	head        ledger.Head
	sets        map[string]*rules.Set // approved by then
	out         Redecided
}

// desk is where a fact was decided: it knows what was known when it was entered.
func (r *redecider) desk(ctx context.Context, f ledger.Fact) (*desk, error) {
	v, err := r.app.view(ctx, r.made, f.At)
	if err != nil {
		return nil, err
	}
	v.sets, v.logs, v.known = r.sets, r.facts, f.Noted
	return &desk{view: v, head: r.head, id: f.ID, by: f.By, noted: f.Noted}, nil
}

// fact decides a fact again if it keeps a judgement, and lets it follow.
func (r *redecider) fact(ctx context.Context, f ledger.Fact) error {
	e, err := inventory.DecodeEntry(f.Kind, f.Body)
	if err != nil {
		return err
	}
	d, err := r.desk(ctx, f)
	if err != nil {
		return err
	}
	if decided(e) && f.Supersedes == "" {
		err = r.decision(d, f, e)
	} else {
		err = d.follow(f)
	}
	if f.Kind == "rules" {
		clear(r.sets)
	}
	r.head = d.head
	return err
}

// decision makes a stored decision again, compares, and lets what was stored
// follow.
func (r *redecider) decision(d *desk, f ledger.Fact, stored inventory.Entry) error {
	again, err := inventory.DecodeEntry(f.Kind, f.Body)
	if err != nil {
		return err
	}
	later, err := d.makeRoom(&Request{ID: f.ID, At: f.At, By: f.By, Entry: stored})
	if err != nil {
		return err
	}
	ref, err := d.redo(again)
	if err != nil {
		return err
	}
	r.compare(f, stored, again, ref)
	if err := ledgerdb.Insert(d.ctx, d.tx, d.head, f); err != nil {
		return err
	}
	d.head = f.Head()
	if err := d.apply(f, stored); err != nil {
		return err
	}
	return d.again(later, f.At, stored)
}

// redo decides an entry anew. What was brought in from paper against a rule
// bears that rule's flag, and is decided as paper is.
func (d *desk) redo(e inventory.Entry) (ref *inventory.Refusal, err error) {
	flagged := inventory.ActOf(e).Flags
	unjudge(e)
	if err := d.begin(e); err != nil {
		return nil, err
	}
	err = d.decide(e)
	ref, refused := errors.AsType[*inventory.Refusal](err)
	if !refused {
		d.needed()
		return nil, err
	}
	for _, f := range flagged {
		if f.Code == ref.Code && !d.paper {
			d.happened, d.paper = true, true
			return d.redo(e)
		}
	}
	return ref, nil
}

// compare notes a decision that came to something else.
func (r *redecider) compare(f ledger.Fact, stored, again inventory.Entry, ref *inventory.Refusal) {
	r.out.Decisions++
	was, is := judgement(stored), judgement(again)
	if ref != nil {
		r.differs(f, stored, "verdict "+was["verdict"], fmt.Sprintf("refused (%s): %s", ref.Code, ref.Why))
		return
	}
	var before, now []string
	for _, name := range judgedFields {
		if was[name] != is[name] {
			before, now = append(before, told(name, was)), append(now, told(name, is))
		}
	}
	if len(now) > 0 {
		r.differs(f, stored, strings.Join(before, ", "), strings.Join(now, ", "))
	}
}

func (r *redecider) differs(f ledger.Fact, e inventory.Entry, stored, now string) {
	r.out.Different = append(r.out.Different, Differing{Fact: f, Of: decidedOf(e), Stored: stored, Now: now})
}
