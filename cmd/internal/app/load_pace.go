package app

import (
	"context"
	"time"

	"ovenward/migrations/db"
)

// A load holds SQLite's one place for a writer while it stores a chunk, and a
// person at the counter waits for it. Pauses let others in, who ask again every
// millisecond or so. While nobody else writes, chunks are larger and pauses
// shorter: the first one to come waits for one large chunk, about 40 ms, and the
// next for small ones, about 8 ms.
const (
	aloneRows   = 20_000
	alonePause  = 2 * time.Millisecond
	sharedRows  = 5_000
	sharedPause = 5 * time.Millisecond
	// sharedChunks is for how many chunks others are expected to come again,
	// about 3 s.
	sharedChunks = 200
)

// pace is how much of a load is stored at once and how long the pause is before
// more is stored.
type pace struct {
	engine db.Engine
	others int64 // what ovendb.OthersWrote said last
	shared int   // for how many chunks more
}

// rows is how many rows the next chunk has.
func (p *pace) rows() int {
	if p.shared > 0 {
		return sharedRows
	}
	return aloneRows
}

// wait is how long the pause before the next chunk is: none before the first, and
// none on PostgreSQL, whose readings keep nobody waiting.
func (p *pace) wait() time.Duration {
	switch {
	case p.engine != db.SQLite:
		return 0
	case p.shared > 0:
		return sharedPause
	}
	return alonePause
}

// pause lets others in between two chunks.
func (p *pace) pause(ctx context.Context) error {
	wait := p.wait()
	if wait == 0 {
		return ctx.Err()
	}
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-timer.C:
		return nil
	}
}

// stored notes whether somebody else wrote since the last chunk.
func (p *pace) stored(engine db.Engine, others int64) {
	p.shared = max(0, p.shared-1)
	if p.engine != "" && p.others != others {
		p.shared = sharedChunks
	}
	p.engine, p.others = engine, others
}
