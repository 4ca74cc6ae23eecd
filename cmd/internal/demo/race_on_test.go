//go:build race

package demo_test

import (
	"testing"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// each runs the month's work on SQLite alone under the race detector, which
// makes it ten times as long; without it both engines have their turn.
func each(t *testing.T, fn func(t *testing.T, open func() *db.DB), _ ...db.Option) {
	t.Helper()
	d := dbtest.SQLite(t)
	fn(t, func() *db.DB { return d })
}
