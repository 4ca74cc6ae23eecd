package stockdb

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

const bundleColumns = `bundle, lot, package, tight, sealed, pieces, mass_ug, place, place_kind, slip, hold,
	received_us, born_us, returned, rack, recycled`

type bundleRow struct {
	Bundle    string          `db:"bundle"`
	Lot       string          `db:"lot"`
	Package   string          `db:"package"`
	Tight     bool            `db:"tight"`
	Sealed    bool            `db:"sealed"`
	Pieces    int64           `db:"pieces"`
	Mass      measure.Mass    `db:"mass_ug"`
	Place     string          `db:"place"`
	PlaceKind string          `db:"place_kind"`
	Slip      string          `db:"slip"`
	Hold      string          `db:"hold"`
	Received  measure.Instant `db:"received_us"`
	Born      measure.Instant `db:"born_us"`
	Returned  bool            `db:"returned"`
	Rack      string          `db:"rack"`
	Recycled  bool            `db:"recycled"`
}

func (r bundleRow) bundle() inventory.Bundle {
	return inventory.Bundle{Code: r.Bundle, Lot: r.Lot, Package: inventory.Package(r.Package), Tight: r.Tight,
		Sealed: r.Sealed, Pieces: r.Pieces, Mass: r.Mass,
		Place: inventory.Place{Name: r.Place, Kind: inventory.PlaceKind(r.PlaceKind)},
		Slip:  r.Slip, Hold: r.Hold, Received: r.Received, Born: r.Born, Returned: r.Returned, Rack: r.Rack, Recycled: r.Recycled}
}

func bundles(rows []bundleRow, err error) ([]inventory.Bundle, error) {
	if err != nil {
		return nil, err
	}
	out := make([]inventory.Bundle, len(rows))
	for i, r := range rows {
		out[i] = r.bundle()
	}
	return out, nil
}

const bundleByCode = `SELECT ` + bundleColumns + ` FROM bundle WHERE site = $1 AND bundle = $2`

// Bundle returns a bundle. The rods out on a slip are a bundle under the
// slip's code. The error wraps db.ErrNotFound when there is none.
func Bundle(ctx context.Context, tx *sqlx.Tx, site, code string) (inventory.Bundle, error) {
	row, err := get[bundleRow](ctx, tx, "bundle "+code, bundleByCode, site, code)
	return row.bundle(), err
}

// Live returns the bundles of a site that are not used up, in the order of
// their codes. They are sorted here: asked for an order, SQLite goes through
// every bundle there ever was instead of the index of the few that are left.
func Live(ctx context.Context, tx *sqlx.Tx, site string) ([]inventory.Bundle, error) {
	return byCode(bundles(list[bundleRow](ctx, tx, "bundles", `SELECT `+bundleColumns+` FROM bundle
		WHERE site = $1 AND (pieces > 0 OR mass_ug > 0)`, site)))
}

// CountOpen returns how many bundles of a site are open and not used up.
func CountOpen(ctx context.Context, tx *sqlx.Tx, site string) (n int64, err error) {
	err = tx.GetContext(ctx, &n, `SELECT count(*) FROM bundle
		WHERE site = $1 AND (pieces > 0 OR mass_ug > 0) AND sealed = 0`, site)
	if err != nil {
		return 0, fmt.Errorf("count the open bundles: %w", err)
	}
	return n, nil
}

// OnMachines returns the bundles on feeders and in hoppers that are not used up.
func OnMachines(ctx context.Context, tx *sqlx.Tx, site string) ([]inventory.Bundle, error) {
	return byCode(bundles(list[bundleRow](ctx, tx, "bundles on machines", `SELECT `+bundleColumns+` FROM bundle
		WHERE site = $1 AND (pieces > 0 OR mass_ug > 0) AND place_kind IN ($2, $3)`,
		site, string(inventory.Feeder), string(inventory.Hopper))))
}

func byCode(list []inventory.Bundle, err error) ([]inventory.Bundle, error) {
	slices.SortFunc(list, func(a, b inventory.Bundle) int { return strings.Compare(a.Code, b.Code) })
	return list, err
}

// LotBundles returns every bundle that a lot ever was, in the order in which
// they came to be.
func LotBundles(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]inventory.Bundle, error) {
	return bundles(list[bundleRow](ctx, tx, "bundles of lot "+lot, `SELECT `+bundleColumns+` FROM bundle
		WHERE site = $1 AND lot = $2 ORDER BY born_us, bundle`, site, lot))
}

// SlipBundles returns the bundles that are out on a slip, in the order of their
// codes.
func SlipBundles(ctx context.Context, tx *sqlx.Tx, site, slip string) ([]inventory.Bundle, error) {
	return byCode(bundles(list[bundleRow](ctx, tx, "rods of slip "+slip, `SELECT `+bundleColumns+` FROM bundle
		WHERE site = $1 AND slip = $2 AND slip <> ''`, site, slip)))
}

// saveBundle adds a bundle. The error is a *inventory.Refusal for a name that
// another one has.
func (a *applier) saveBundle(b inventory.Bundle) error {
	if err := a.used(b.Code); err != nil {
		return err
	}
	n, err := a.changed(`INSERT INTO bundle (site, bundle, lot, package, tight, sealed, pieces, mass_ug,
			place, place_kind, slip, hold, received_us, born_us, returned, rack, recycled)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17)
		ON CONFLICT (site, bundle) DO NOTHING`,
		a.site, b.Code, b.Lot, string(b.Package), bit(b.Tight), bit(b.Sealed), b.Pieces, b.Mass, b.Place.Name,
		string(b.Place.Kind), b.Slip, b.Hold, b.Received, b.Born, bit(b.Returned), b.Rack, bit(b.Recycled))
	if err == nil && n == 0 {
		err = NameTaken(b.Code)
	}
	return err
}

// NameTaken is the refusal of a name that a bundle or a slip has already.
func NameTaken(code string) error {
	return &inventory.Refusal{Code: inventory.Duplicate, Subject: code, Value: code,
		Why: "another bundle or slip has that name", Next: "leave the name out and the program gives one"}
}

// take removes pieces from a bundle. One of which nothing is left has left its
// place.
func (a *applier) take(b *inventory.Bundle, pieces int64, mass measure.Mass) error {
	b.Pieces -= pieces
	b.Mass -= mass
	err := a.exec(`UPDATE bundle SET pieces = $3, mass_ug = $4 WHERE site = $1 AND bundle = $2`, a.site, b.Code, b.Pieces, b.Mass)
	if err != nil || !b.Empty() {
		return err
	}
	return a.leave(b.Code)
}

// split makes a new bundle of some of another, with its history up to now.
func (a *applier) split(from *inventory.Bundle, child inventory.Bundle) error {
	child.Lot, child.Package, child.Tight, child.Received = from.Lot, from.Package, from.Tight, from.Received
	child.Born, child.Recycled = a.at, child.Recycled || from.Recycled
	if err := a.take(from, child.Pieces, child.Mass); err != nil {
		return err
	}
	if err := a.saveBundle(child); err != nil {
		return err
	}
	return a.originate(child.Code, from.Code, from.Lot)
}

func (a *applier) originate(child, parent, lot string) error {
	return a.exec(`INSERT INTO origin (site, bundle, parent, at_us, lot) VALUES ($1, $2, $3, $4, $5)`,
		a.site, child, parent, a.at, lot)
}
