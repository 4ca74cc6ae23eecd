package app

import (
	"testing"

	"ovenward/migrations/db"
)

// A load that has the database to itself stores much at once. When somebody else
// has written, it stores little for a while, so that a person at the counter who
// comes again waits for little.
func TestLoadGivesWayToOthers(t *testing.T) {
	t.Parallel()
	var p pace
	stored := func(others int64, want int) {
		t.Helper()
		p.stored(db.SQLite, others)
		if got := p.rows(); got != want {
			t.Errorf("after a chunk with %d: %d rows, want %d", others, got, want)
		}
	}
	stored(7, aloneRows) // what others wrote before the load does not count
	stored(7, aloneRows)
	stored(8, sharedRows)
	for range sharedChunks - 1 {
		stored(8, sharedRows)
	}
	stored(8, aloneRows)
	stored(9, sharedRows)
	stored(10, sharedRows)
}

func TestLoadDoesNotPauseOnPostgreSQL(t *testing.T) {
	t.Parallel()
	var p pace
	for range 3 {
		p.stored(db.Postgres, 0)
		if p.rows() != aloneRows || p.wait() != 0 {
			t.Errorf("%d rows and a pause of %v, want %d and none", p.rows(), p.wait(), aloneRows)
		}
	}
	p = pace{}
	if p.wait() != 0 {
		t.Errorf("a pause of %v before the first chunk", p.wait())
	}
	if p.stored(db.SQLite, 0); p.wait() != alonePause {
		t.Errorf("a pause of %v on SQLite, want %v", p.wait(), alonePause)
	}
}
