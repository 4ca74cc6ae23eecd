package app

import (
	"context"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
)

// LotLook is a lot with what is in the crib of it, each bundle with its last day.
type LotLook struct {
	Lot     inventory.Lot
	Set     string // the rule set that the last days are by; empty: none
	Bundles []Look
	Inputs  []stockdb.Input // what it was blended of
	Remarks []stockdb.Remark
}

// LotOfName returns a lot as it stands now. The error is a *inventory.Refusal for
// a name that there is not.
func (a *App) LotOfName(ctx context.Context, code string) (out LotLook, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		l, err := v.lot(code)
		if err != nil {
			return err
		}
		out = LotLook{Lot: l}
		set, err := v.setFor(inventory.Bundle{}, "")
		if err != nil {
			return err
		}
		if set != nil {
			out.Set = set.ID
		}
		bundles, err := stockdb.LotBundles(v.ctx, v.tx, v.site, l.Code)
		if err != nil {
			return err
		}
		for _, b := range bundles {
			if b.Empty() || b.Slip != "" {
				continue
			}
			look, err := v.look(set, b, false)
			if err != nil {
				return err
			}
			out.Bundles = append(out.Bundles, look)
		}
		if out.Inputs, err = stockdb.Inputs(v.ctx, v.tx, v.site, l.Code); err != nil {
			return err
		}
		out.Remarks, err = stockdb.RemarksOfLot(v.ctx, v.tx, v.site, l.Code)
		return err
	})
	return out, err
}
