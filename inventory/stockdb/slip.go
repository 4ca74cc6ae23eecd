package stockdb

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

const slipColumns = `slip, bundle, lot, pieces, mass_ug, welder, holder, holder_kind, job, rules, at_us, closed_us,
	unused, stubs, damaged, unidentified, unused_ug, by_who`

const allSlips = `SELECT ` + slipColumns + ` FROM slip WHERE site = $1 AND `

type slipRow struct {
	Slip         string           `db:"slip"`
	Bundle       string           `db:"bundle"`
	Lot          string           `db:"lot"`
	Pieces       int64            `db:"pieces"`
	Mass         measure.Mass     `db:"mass_ug"`
	Welder       string           `db:"welder"`
	Holder       string           `db:"holder"`
	HolderKind   string           `db:"holder_kind"`
	Job          string           `db:"job"`
	Rules        string           `db:"rules"`
	At           measure.Instant  `db:"at_us"`
	Closed       *measure.Instant `db:"closed_us"`
	Unused       int64            `db:"unused"`
	Stubs        int64            `db:"stubs"`
	Damaged      int64            `db:"damaged"`
	Unidentified int64            `db:"unidentified"`
	UnusedMass   measure.Mass     `db:"unused_ug"`
	By           string           `db:"by_who"`
}

func (r slipRow) slip() inventory.Slip {
	s := inventory.Slip{Code: r.Slip, Bundle: r.Bundle, Lot: r.Lot, Pieces: r.Pieces, Mass: r.Mass, Welder: r.Welder,
		Holder: inventory.Place{Name: r.Holder, Kind: inventory.PlaceKind(r.HolderKind)}, Job: r.Job, Rules: r.Rules,
		At: r.At, By: r.By,
		Back: inventory.Balance{Unused: r.Unused, Stubs: r.Stubs, Damaged: r.Damaged, Unidentified: r.Unidentified,
			UnusedMass: r.UnusedMass}}
	if r.Closed != nil {
		s.Closed = *r.Closed
	}
	return s
}

type jointRow struct {
	Slip  string `db:"slip"`
	Joint string `db:"joint"`
}

// Slip returns a slip with its joints. The error wraps db.ErrNotFound when
// there is none.
func Slip(ctx context.Context, tx *sqlx.Tx, site, code string) (inventory.Slip, error) {
	found, err := slips(ctx, tx, site, `slip = $2`, code)
	if err != nil {
		return inventory.Slip{}, err
	}
	if len(found) == 0 {
		return inventory.Slip{}, fmt.Errorf("slip %s: %w", code, db.ErrNotFound)
	}
	return found[0], nil
}

// The end of time says to SQLite which of two indexes on time is the short one.
const openBy = `closed_us IS NULL AND at_us <= $2`

// OpenSlips returns the slips that are out, oldest first.
func OpenSlips(ctx context.Context, tx *sqlx.Tx, site string) ([]inventory.Slip, error) {
	return slips(ctx, tx, site, openBy, int64(math.MaxInt64))
}

// What is open, and what was closed since: nothing that was closed before the
// instant is read.
const outAt = `slip IN (
	SELECT slip FROM slip WHERE site = $1 AND closed_us IS NULL AND at_us <= $2
	UNION SELECT slip FROM slip WHERE site = $1 AND closed_us > $2 AND at_us <= $2)`

// OutAt returns the slips that were out at an instant, oldest first.
func OutAt(ctx context.Context, tx *sqlx.Tx, site string, at measure.Instant) ([]inventory.Slip, error) {
	return slips(ctx, tx, site, outAt, at)
}

// LotSlips returns every slip that rods of a lot went out on, oldest first.
func LotSlips(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]inventory.Slip, error) {
	return slips(ctx, tx, site, `lot = $2`, lot)
}

// JointSlips returns every slip that names a joint, oldest first.
func JointSlips(ctx context.Context, tx *sqlx.Tx, site, joint string) ([]inventory.Slip, error) {
	return slips(ctx, tx, site, `slip IN (SELECT slip FROM slip_joint WHERE site = $1 AND joint = $2)`, joint)
}

// OutWith returns the slips that a welder had out at an instant, oldest first.
// Those still out and those that came back later are asked for apart: each is a
// stretch of one index.
func OutWith(ctx context.Context, tx *sqlx.Tx, site, welder string, at measure.Instant) ([]inventory.Slip, error) {
	later, err := slips(ctx, tx, site, `welder = $2 AND closed_us > $3 AND at_us <= $3`, welder, at)
	if err != nil {
		return nil, err
	}
	out, err := slips(ctx, tx, site, `welder = $2 AND closed_us IS NULL AND at_us <= $3`, welder, at)
	return append(later, out...), err
}

// Flags returns what was to be looked at when a slip's rods went out.
func Flags(ctx context.Context, tx *sqlx.Tx, site, slip string) ([]inventory.Flag, error) {
	rows, err := list[flagRow](ctx, tx, "flags of "+slip, `SELECT code, why FROM slip_flag
		WHERE site = $1 AND slip = $2 ORDER BY n`, site, slip)
	out := make([]inventory.Flag, len(rows))
	for i, r := range rows {
		out[i] = inventory.Flag{Code: inventory.Code(r.Code), Why: r.Why}
	}
	return out, err
}

type flagRow struct {
	Code string `db:"code"`
	Why  string `db:"why"`
}

// slips returns the slips for which where holds. They are put in order here: to
// have them in order SQLite would read every slip of the site by its time.
func slips(ctx context.Context, tx *sqlx.Tx, site, where string, args ...any) ([]inventory.Slip, error) {
	args = append([]any{site}, args...)
	rows, err := list[slipRow](ctx, tx, "slips", allSlips+where, args...)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	joints, err := list[jointRow](ctx, tx, "joints", `SELECT slip, joint FROM slip_joint
		WHERE site = $1 AND slip IN (SELECT slip FROM slip WHERE site = $1 AND `+where+`) ORDER BY slip, joint`, args...)
	if err != nil {
		return nil, err
	}
	of := map[string][]string{}
	for _, j := range joints {
		of[j.Slip] = append(of[j.Slip], j.Joint)
	}
	out := make([]inventory.Slip, len(rows))
	for i, r := range rows {
		out[i] = r.slip()
		out[i].Joints = of[r.Slip]
	}
	slices.SortFunc(out, func(a, b inventory.Slip) int { return cmp.Or(cmp.Compare(a.At, b.At), strings.Compare(a.Code, b.Code)) })
	return out, nil
}

// SlipsFrom returns the slips on which rods of a bundle of a lot went out,
// oldest first.
func SlipsFrom(ctx context.Context, tx *sqlx.Tx, site, lot, bundle string) ([]inventory.Slip, error) {
	return slips(ctx, tx, site, `lot = $2 AND bundle = $3`, lot, bundle)
}
