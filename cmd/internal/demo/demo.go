// Package demo builds an invented shop with a month of work in it: four
// welders, two holding ovens, a bake oven, a quiver, and most of what can go
// wrong between a can and a joint.
package demo

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// Story is one thing that went wrong, for the reader of the demo.
type Story struct {
	At   measure.Instant
	Text string
}

// Built is the shop as it stands at the end of its month.
type Built struct {
	Facts   int
	Refused map[inventory.Code]int
	Stories []Story
	Lot     string // one with a trace worth reading
	Joint   string
	Bundle  string // one with a history worth reading

	Proposal string       // one that waits for QA
	QADay    measure.Date // the day on which QA decided and overrode
}

// days is how long the shop has been at work.
const days = 30

// shift is how long before the present its shifts begin: the shop is always in
// the middle of one when somebody looks.
const shift = 5 * measure.Hour

// shop is the demo under way.
type shop struct {
	ctx   context.Context
	app   *app.App
	now   measure.Instant // the end
	clock measure.Instant
	zone  *time.Location
	rng   *rand.Rand
	diary diary
	cans  map[string][]string // sealed packages by product
	joint int
	ahead []mishap // that have not happened yet
	built Built

	ordered bool  // the month's second delivery is on its way
	err     error // the first one; nothing is done after it
}

// Zone is where the shop is.
const Zone = "America/Halifax"

// Build records the month up to now on an empty site of the database. The same
// instant gives the same shop.
func Build(ctx context.Context, d *db.DB, site string, now measure.Instant) (Built, error) {
	zone, err := time.LoadLocation(Zone)
	if err != nil {
		return Built{}, err
	}
	const seed = 7018 // any; fixed, so that the shop is the same each time
	s := &shop{ctx: ctx, now: now, zone: zone, rng: rand.New(rand.NewPCG(seed, seed)), cans: map[string][]string{},
		joint: 100, built: Built{Refused: map[inventory.Code]int{}}}
	s.app = &app.App{DB: d, Site: site, Via: "demo", Now: func() time.Time { return s.clock.Time() }}
	s.ahead = s.mishaps()
	s.found()
	for day := days; day >= 1; day-- {
		s.day(now.Add(-shift).Add(-measure.Duration(day)*measure.Day), days-day)
	}
	s.today(now.Add(-shift))
	s.diary.run(s)
	s.clock = now
	s.plan()
	s.look()
	return s.built, s.err
}

// do records a fact at an instant.
func (s *shop) do(at measure.Instant, by string, e inventory.Entry) inventory.Entry {
	return s.late(at, at, by, e)
}

// late records a fact that is entered after it happened.
func (s *shop) late(at, noted measure.Instant, by string, e inventory.Entry) inventory.Entry {
	if s.err != nil {
		return e
	}
	s.clock = max(s.clock, noted)
	done, err := s.app.Record(s.ctx, app.Request{At: at, By: by, Entry: e})
	if err != nil {
		s.err = fmt.Errorf("%s at %s: %w", e.Kind(), at.In(s.zone), err)
		return e
	}
	s.built.Facts++
	return done.Entry
}

// try records a fact that may be refused; false tells that it was.
func (s *shop) try(at measure.Instant, by string, e inventory.Entry) (inventory.Entry, bool) {
	if s.err != nil {
		return e, false
	}
	s.clock = max(s.clock, at)
	done, err := s.app.Record(s.ctx, app.Request{At: at, By: by, Entry: e})
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		s.built.Refused[ref.Code]++
		return e, false
	}
	if err != nil {
		s.err = err
		return e, false
	}
	s.built.Facts++
	return done.Entry, true
}

// stock is what is in the crib at an instant, nothing after a failure.
func (s *shop) stock(at measure.Instant) []app.Look {
	if s.err != nil {
		return nil
	}
	s.clock = max(s.clock, at)
	list, err := s.app.Stock(s.ctx, at)
	s.err = err
	return list
}

// tell adds a story.
func (s *shop) tell(at measure.Instant, format string, args ...any) {
	s.built.Stories = append(s.built.Stories, Story{At: at, Text: fmt.Sprintf(format, args...)})
}

// between is a whole number from low to high, both included.
func (s *shop) between(low, high int) int { return low + s.rng.IntN(high-low+1) }
