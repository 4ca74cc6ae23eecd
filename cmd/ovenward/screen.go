package main

import (
	"context"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

// screen is what an answer is made with: the printer, the program on its
// database, the instant that was asked for, and the site's zone and units to
// print it in.
type screen struct {
	*show.Printer
	app   *app.App
	at    measure.Instant
	zone  *time.Location
	units measure.UnitSystem
}

// words is how the site writes times and temperatures.
func (s screen) words() alarm.Words { return alarm.Words{Zone: s.zone, Units: s.units} }

// screen opens what a command answers with. A time left out is now.
func (e *env) screen(ctx context.Context, at string) (s screen, err error) {
	if s.Printer, err = e.printer(); err != nil {
		return s, err
	}
	if s.app, err = e.open(ctx); err != nil {
		return s, err
	}
	if s.at, err = s.app.Instant(ctx, at); err != nil {
		return s, err
	}
	words, err := s.app.Words(ctx)
	s.zone, s.units = words.Zone, words.Units
	return s, err
}
