package stockdb

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/migrations/db"
)

// Apply changes the tables as a fact says. Entries that concern other tables
// change nothing here. The facts of one lot are applied in the order in which
// they happened; the error of one that cannot have happened so is a
// *inventory.Refusal, wraps db.ErrNotFound, or is one that db.CheckFailed knows.
func Apply(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e inventory.Entry) error {
	a := &applier{ctx: ctx, tx: tx, site: f.Site}
	return a.fact(f, e)
}

func (a *applier) fact(f ledger.Fact, e inventory.Entry) error {
	a.seq, a.at, a.by = f.Seq, f.At, f.By
	if err := a.apply(e); err != nil {
		return fmt.Errorf("fact %d of site %s (%s): %w", f.Seq, f.Site, f.Kind, err)
	}
	return nil
}

func (a *applier) apply(e inventory.Entry) error {
	switch e := e.(type) {
	case *inventory.Received:
		return a.received(e)
	case *inventory.LotReleased:
		return a.released(e)
	case *inventory.HeldBack:
		return a.heldBack(e)
	case *inventory.Opened:
		return a.opened(e)
	case *inventory.Moved:
		return a.moved(e)
	case *inventory.Joined:
		return a.joined(e)
	case *inventory.Issued:
		return a.issued(e)
	case *inventory.Returned:
		return a.returned(e)
	case *inventory.Baked:
		return a.baked(e)
	case *inventory.WentWet:
		return a.happen(e.Bundle, inventory.GotWet, "")
	case *inventory.Decision:
		return a.decided(e)
	case *inventory.Proposed:
		return a.proposed(e)
	case *inventory.Noted:
		return a.noted(e)
	case *inventory.Covered:
		return a.happen(e.Bundle, inventory.WasCovered, "")
	case *inventory.Extended:
		return a.extended(e)
	case *inventory.Blended:
		return a.blended(e)
	case *inventory.Reclaimed:
		return a.reclaimed(e)
	case *inventory.Scrapped:
		return a.scrapped(e)
	case *inventory.Counted:
		return a.counted(e)
	}
	return nil
}

// note records that the fact speaks of a lot.
func (a *applier) note(lot string) error {
	return a.exec(`INSERT INTO lot_fact (site, lot, seq) VALUES ($1, $2, $3) ON CONFLICT (site, lot, seq) DO NOTHING`,
		a.site, lot, a.seq)
}

// bundle returns a bundle that the fact speaks of.
func (a *applier) bundle(code string) (inventory.Bundle, error) {
	var row bundleRow
	if err := a.get(&row, "bundle "+code, bundleByCode, a.site, code); err != nil {
		return row.bundle(), err
	}
	return row.bundle(), a.note(row.Lot)
}

// present is bundle for a fact that cannot be of one that is used up.
func (a *applier) present(code string) (inventory.Bundle, error) {
	b, err := a.bundle(code)
	if err != nil {
		return b, err
	}
	return b, b.Present()
}

// inCrib is present for a fact that cannot be of rods that a welder has.
func (a *applier) inCrib(code string) (inventory.Bundle, error) {
	b, err := a.present(code)
	if err != nil {
		return b, err
	}
	return b, b.InCrib()
}

// place resolves the name of a place as set up at the site.
func (a *applier) place(name string) (inventory.Place, error) {
	if p, ok := inventory.Reserved(name); ok {
		return p, nil
	}
	var p inventory.Place
	return p, a.get(&p, "place "+name, placeByName, a.site, name)
}

const placeByName = `SELECT place, kind FROM place WHERE site = $1 AND place = $2`

// Place returns a place by its name: one of the site's, the open air, an
// opened packet, or the store that every site has. The error wraps
// db.ErrNotFound when there is none. A name that is written in other letters is
// meant where one place alone has it.
func Place(ctx context.Context, tx *sqlx.Tx, site, name string) (inventory.Place, error) {
	if p, ok := inventory.Reserved(name); ok {
		return p, nil
	}
	p, err := get[inventory.Place](ctx, tx, "place "+name, placeByName, site, name)
	if !errors.Is(err, db.ErrNotFound) {
		return p, err
	}
	all, listErr := list[inventory.Place](ctx, tx, "places", `SELECT place, kind FROM place WHERE site = $1`, site)
	if listErr != nil {
		return p, listErr
	}
	all = slices.DeleteFunc(all, func(o inventory.Place) bool { return !inventory.SameName(o.Name, name) })
	if len(all) == 1 {
		return all[0], nil
	}
	return p, err
}
