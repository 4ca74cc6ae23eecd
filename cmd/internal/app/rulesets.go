package app

import (
	"context"

	"ovenward/storage/ruledb"
)

// RuleSets returns the rule sets that were approved for the site, and the id of
// the one in force.
func (a *App) RuleSets(ctx context.Context) (list []ruledb.Approved, inForce string, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		inForce = v.settings.Rules
		list, err = ruledb.All(ctx, v.tx, v.site)
		return err
	})
	return list, inForce, err
}
