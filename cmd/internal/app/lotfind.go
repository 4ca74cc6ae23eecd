package app

import (
	"context"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/stockdb"
)

// FoundLot is a lot with what it was found by and what is left of it.
type FoundLot struct {
	Lot  inventory.Lot
	By   []inventory.Mention
	Left Amount // in the crib and out
}

// FindLots returns the lots that a text is written of, on their labels or on any
// of their papers, in the order of their numbers.
func (a *App) FindLots(ctx context.Context, text string) (found []FoundLot, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		found, err = v.findLots(text)
		return err
	})
	return found, err
}

func (v *view) findLots(text string) (found []FoundLot, err error) {
	lots, err := stockdb.Lots(v.ctx, v.tx, v.site)
	if err != nil {
		return nil, err
	}
	papers, err := v.paperMentions()
	if err != nil {
		return nil, err
	}
	for _, l := range lots {
		by := inventory.Holding(append(l.Mentions(), papers[l.Code]...), text)
		if len(by) == 0 {
			continue
		}
		b, err := v.lotBalance(l.Code)
		if err != nil {
			return nil, err
		}
		f := FoundLot{Lot: l, By: by}
		f.Left.add(b.InStock.Pieces+b.Out.Pieces, b.InStock.Mass+b.Out.Mass)
		found = append(found, f)
	}
	return found, nil
}

// paperMentions is what the papers of each lot are known by.
func (v *view) paperMentions() (map[string][]inventory.Mention, error) {
	papers, err := jobdb.Papers(v.ctx, v.tx, v.site, v.at)
	if err != nil {
		return nil, err
	}
	of := map[string][]inventory.Mention{}
	for _, p := range papers {
		e := p.Entry
		of[e.Lot] = append(of[e.Lot], inventory.Mention{What: "certificate", Text: e.Number}, inventory.Mention{What: "note", Text: e.Note})
	}
	return of, nil
}
