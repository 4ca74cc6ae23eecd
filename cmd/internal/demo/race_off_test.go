//go:build !race

package demo_test

import "ovenward/migrations/db/dbtest"

// each runs the month's work on both engines.
var each = dbtest.Each
