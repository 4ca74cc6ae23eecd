package stockdb

import (
	"context"
	"math/big"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Input is flux of one bundle that went into a blend.
type Input struct {
	Bundle   string          `db:"bundle" json:"bundle"` // that the blend made
	Lot      string          `db:"lot" json:"lot"`
	Input    string          `db:"input" json:"input"`
	InputLot string          `db:"input_lot" json:"input_lot"`
	Mass     measure.Mass    `db:"mass_ug" json:"mass_ug"`
	Recycled measure.Mass    `db:"recycled_ug" json:"recycled_ug"`
	At       measure.Instant `db:"at_us" json:"at_us"`
}

const inputColumns = `bundle, lot, input, input_lot, mass_ug, recycled_ug, at_us`

// Blends returns what went into the blends that a lot is, or went into.
func Blends(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]Input, error) {
	return list[Input](ctx, tx, "blends of lot "+lot, `SELECT `+inputColumns+` FROM blend WHERE site = $1 AND lot = $2
		UNION SELECT `+inputColumns+` FROM blend WHERE site = $1 AND input_lot = $2 ORDER BY at_us, bundle, input`, site, lot)
}

// Inputs returns what a lot was blended of; none for one that came as it is.
func Inputs(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]Input, error) {
	return list[Input](ctx, tx, "inputs of lot "+lot, `SELECT `+inputColumns+` FROM blend
		WHERE site = $1 AND lot = $2 ORDER BY input`, site, lot)
}

// Into returns what of a lot went into blends.
func Into(ctx context.Context, tx *sqlx.Tx, site, lot string) ([]Input, error) {
	return list[Input](ctx, tx, "blends with lot "+lot, `SELECT `+inputColumns+` FROM blend
		WHERE site = $1 AND input_lot = $2 ORDER BY at_us, bundle, input`, site, lot)
}

// Blended returns lots with all that share flux with them through blends, before
// and after, sorted. What the tables say of one of them depends on the others.
func Blended(ctx context.Context, tx *sqlx.Tx, site string, lots []string) ([]string, error) {
	all := slices.Clone(lots)
	for i := 0; i < len(all); i++ { // grows
		inputs, err := Blends(ctx, tx, site, all[i])
		if err != nil {
			return nil, err
		}
		for _, in := range inputs {
			for _, lot := range []string{in.Lot, in.InputLot} {
				if !slices.Contains(all, lot) {
					all = append(all, lot)
				}
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}

// Recycled returns how much of a mass taken from a bundle is recycled flux: all
// of what was reclaimed, and the share that a blend has of it, rounded up.
func Recycled(ctx context.Context, tx *sqlx.Tx, site string, b inventory.Bundle, mass measure.Mass) (measure.Mass, error) {
	if b.Recycled {
		return mass, nil
	}
	inputs, err := Inputs(ctx, tx, site, b.Lot)
	var total, recycled measure.Mass
	for _, in := range inputs {
		total, recycled = total+in.Mass, recycled+in.Recycled
	}
	if err != nil || recycled == 0 {
		return 0, err
	}
	part := new(big.Int).Mul(big.NewInt(int64(mass)), big.NewInt(int64(recycled)))
	part.Add(part, big.NewInt(int64(total-1)))
	return measure.Mass(part.Div(part, big.NewInt(int64(total))).Int64()), nil
}
