package app

import (
	"context"
	"time"

	"ovenward/storage/ruledb"
)

// RuleSets returns the rule sets that were approved for the site, the id of the
// one in force, and the zone to print their times in.
func (a *App) RuleSets(ctx context.Context) (list []ruledb.Approved, inForce string, zone *time.Location, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		zone, inForce = v.zone, v.settings.Rules
		list, err = ruledb.All(ctx, v.tx, v.site)
		return err
	})
	return list, inForce, zone, err
}
