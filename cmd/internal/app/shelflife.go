package app

import (
	"context"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// Dated is a bundle with the last day on which it may be issued.
type Dated struct {
	Look
	Last measure.Date        // empty where no date is known
	Row  *rules.ShelfLifeRow // that decides; nil where the label does
	Set  string              // of the row
}

// ShelfLife returns the stock in the crib at an instant, each with its last day.
func (a *App) ShelfLife(ctx context.Context, at measure.Instant) (list []Dated, err error) {
	stock, err := a.Stock(ctx, at)
	if err != nil {
		return nil, err
	}
	err = a.read(ctx, at, func(v *view) error {
		list = nil
		set, err := v.setFor(inventory.Bundle{}, "")
		if err != nil {
			return err
		}
		for _, l := range stock {
			d := Dated{Look: l, Last: l.Expiry.Last, Row: l.Expiry.Row}
			if set != nil {
				d.Set = set.ID
			}
			list = append(list, d)
		}
		return nil
	})
	return list, err
}

// Bar returns the row that keeps stock of a lot out of a kind of place, by the
// rule set in force; nil where none does.
func (a *App) Bar(ctx context.Context, l inventory.Lot, b inventory.Bundle, kind inventory.PlaceKind) (row *rules.CoStorageRow, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		set, err := v.setFor(inventory.Bundle{}, "")
		if set != nil && err == nil {
			row = set.Barred(subject(l, b), kind)
		}
		return err
	})
	return row, err
}
