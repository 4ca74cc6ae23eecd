package app

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledgerdb"
)

// Sites returns the names of the sites whose facts the database holds, in order.
func (a *App) Sites(ctx context.Context) (names []string, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		heads, err := ledgerdb.Heads(ctx, tx)
		names = nil
		for _, h := range heads {
			if h.Seq > 0 {
				names = append(names, h.Site)
			}
		}
		return err
	})
	return names, err
}
