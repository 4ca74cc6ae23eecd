package stockdb

import (
	"context"
	"fmt"
	"iter"
	"maps"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Histories loads what happened to rods by an instant, back to the can they
// came in. What it loaded it keeps: bundles that were split from one another or
// joined share their past instead of having it once each.
type Histories struct {
	site  string
	until measure.Instant
	seen  map[string]*inventory.History
}

// NewHistories returns a loader for a site as it stood at an instant.
func NewHistories(site string, until measure.Instant) *Histories {
	return &Histories{site: site, until: until, seen: map[string]*inventory.History{}}
}

// Until returns the instant up to which histories are loaded.
func (h *Histories) Until() measure.Instant { return h.until }

const oneBundle = `bundle = $3`

// past selects bundles and all that their rods were before. It is joined by
// CROSS JOIN because SQLite keeps that order: the few bundles of the past are
// looked up in the tables, not each row of the site in the past.
func past(seed string) string {
	return `WITH RECURSIVE past (bundle) AS (
		SELECT bundle FROM bundle WHERE site = $1 AND ` + seed + `
		UNION
		SELECT o.parent FROM past p CROSS JOIN origin o WHERE o.site = $1 AND o.bundle = p.bundle) `
}

// What is read of the past.
const (
	pastBundles = `SELECT b.bundle, b.tight, b.born_us
		FROM past p CROSS JOIN bundle b WHERE b.site = $1 AND b.bundle = p.bundle AND b.born_us <= $2`
	pastOrigins = `SELECT o.bundle, o.parent, o.at_us
		FROM past p CROSS JOIN origin o
		WHERE o.site = $1 AND o.bundle = p.bundle AND o.at_us <= $2 ORDER BY o.bundle, o.parent`
	pastStays = `SELECT s.bundle, s.from_us, s.seq, s.to_us, s.place,
			s.place_kind, s.sealed, s.slip, s.returned, s.bake_set_k, s.bake_layers, s.bake_ug, s.rack,
			s.bake_depth_nm
		FROM past p CROSS JOIN stay s
		WHERE s.site = $1 AND s.bundle = p.bundle AND s.from_us <= $2 ORDER BY s.bundle, s.from_us, s.seq`
	pastEvents = `SELECT e.bundle, e.at_us, e.kind, e.disposition
		FROM past p CROSS JOIN happening e
		WHERE e.site = $1 AND e.bundle = p.bundle AND e.at_us <= $2 ORDER BY e.bundle, e.at_us, e.seq`
)

type pastRow struct {
	Bundle string          `db:"bundle"`
	Tight  bool            `db:"tight"`
	Born   measure.Instant `db:"born_us"`
}

type originRow struct {
	Bundle string          `db:"bundle"`
	Parent string          `db:"parent"`
	At     measure.Instant `db:"at_us"`
}

type eventRow struct {
	Bundle      string          `db:"bundle"`
	At          measure.Instant `db:"at_us"`
	Kind        string          `db:"kind"`
	Disposition string          `db:"disposition"`
}

// Of returns the history of a bundle. The error wraps db.ErrNotFound when there
// is no such bundle.
func (h *Histories) Of(ctx context.Context, tx *sqlx.Tx, bundle string) (*inventory.History, error) {
	if known, ok := h.seen[bundle]; ok {
		return known, nil
	}
	if err := h.load(ctx, tx, oneBundle, bundle); err != nil {
		return nil, err
	}
	if found, ok := h.seen[bundle]; ok {
		return found, nil
	}
	_, err := Bundle(ctx, tx, h.site, bundle)
	return nil, err
}

// All returns the histories that were loaded, in no order.
func (h *Histories) All() iter.Seq[*inventory.History] { return maps.Values(h.seen) }

// Live loads the histories of everything that is not used up, at once.
func (h *Histories) Live(ctx context.Context, tx *sqlx.Tx) error {
	return h.load(ctx, tx, `(pieces > 0 OR mass_ug > 0)`)
}

// load reads the bundles that a condition selects, with their past. The
// condition's own argument is $3.
func (h *Histories) load(ctx context.Context, tx *sqlx.Tx, seed string, arg ...any) error {
	args := append([]any{h.site, h.until}, arg...)
	rows, err := list[pastRow](ctx, tx, "bundles", past(seed)+pastBundles, args...)
	if err != nil {
		return err
	}
	fresh := map[string]bool{}
	for _, r := range rows {
		if _, ok := h.seen[r.Bundle]; !ok {
			fresh[r.Bundle] = true
			h.seen[r.Bundle] = &inventory.History{Bundle: r.Bundle, Tight: r.Tight, Born: r.Born}
		}
	}
	if err := h.origins(ctx, tx, past(seed), args, fresh); err != nil {
		return err
	}
	if err := h.stays(ctx, tx, past(seed), args, fresh); err != nil {
		return err
	}
	return h.events(ctx, tx, past(seed), args, fresh)
}

func (h *Histories) origins(ctx context.Context, tx *sqlx.Tx, past string, args []any, fresh map[string]bool) error {
	rows, err := list[originRow](ctx, tx, "origins", past+pastOrigins, args...)
	for _, r := range rows {
		if !fresh[r.Bundle] {
			continue
		}
		parent, ok := h.seen[r.Parent]
		if !ok {
			return fmt.Errorf("bundle %s came from %s, which is not there", r.Bundle, r.Parent)
		}
		of := h.seen[r.Bundle]
		of.Origins = append(of.Origins, inventory.Origin{History: parent, Until: r.At})
	}
	return err
}

func (h *Histories) stays(ctx context.Context, tx *sqlx.Tx, past string, args []any, fresh map[string]bool) error {
	rows, err := list[stayRow](ctx, tx, "stays", past+pastStays, args...)
	for _, r := range rows {
		if fresh[r.Bundle] {
			of := h.seen[r.Bundle]
			of.Stays = append(of.Stays, r.stay())
		}
	}
	return err
}

func (h *Histories) events(ctx context.Context, tx *sqlx.Tx, past string, args []any, fresh map[string]bool) error {
	rows, err := list[eventRow](ctx, tx, "events", past+pastEvents, args...)
	for _, r := range rows {
		if fresh[r.Bundle] {
			of := h.seen[r.Bundle]
			of.Events = append(of.Events, inventory.Event{At: r.At, Kind: inventory.EventKind(r.Kind), Disposition: r.Disposition})
		}
	}
	return err
}

// Children returns the bundles that rods of a bundle went into.
func Children(ctx context.Context, tx *sqlx.Tx, site, bundle string) ([]string, error) {
	return list[string](ctx, tx, "bundles made of "+bundle, `SELECT bundle FROM origin
		WHERE site = $1 AND parent = $2 ORDER BY at_us, bundle`, site, bundle)
}

// Parents returns the bundles that rods of a bundle came from.
func Parents(ctx context.Context, tx *sqlx.Tx, site, bundle string) ([]string, error) {
	return list[string](ctx, tx, "bundles before "+bundle, `SELECT parent FROM origin
		WHERE site = $1 AND bundle = $2 ORDER BY at_us, parent`, site, bundle)
}
