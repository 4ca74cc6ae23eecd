package schedule

import (
	"context"
	"time"

	"ovenward/inventory/measure"
)

// Minutely is a slot every minute.
func Minutely(_ context.Context, at measure.Instant) (measure.Instant, error) {
	minute := measure.Instant(measure.Minute)
	return at / minute * minute, nil
}

// Daily is a slot a day: so long after each day begins on a site's clock. A day
// that begins twice, or whose midnight the clocks skip, has one slot as well.
func Daily(zone func(context.Context) (*time.Location, error), after measure.Duration,
) func(context.Context, measure.Instant) (measure.Instant, error) {
	return func(ctx context.Context, at measure.Instant) (measure.Instant, error) {
		z, err := zone(ctx)
		if err != nil {
			return 0, err
		}
		slot := func(d measure.Date) measure.Instant { return d.AddDays(-1).End(z).Add(after) }
		day := measure.DateOf(at.Add(-after), z)
		for slot(day) > at {
			day = day.AddDays(-1)
		}
		return slot(day), nil
	}
}
