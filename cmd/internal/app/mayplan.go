package app

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
)

// mayPlan refuses who may not load what purchasing answers for: plans, and what
// the buyer sets. The words say what is loaded.
func (a *App) mayPlan(ctx context.Context, tx *sqlx.Tx, by, words string) error {
	v, err := a.view(ctx, tx, a.now())
	if err != nil {
		return err
	}
	crew, err := v.crew(v.at, by) // knows what a welder is, too
	if err != nil {
		return err
	}
	return crew.Require(inventory.MayPlan(), by, words)
}
