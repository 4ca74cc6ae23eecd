package schedule

import (
	"context"
	"slices"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// ZoneFunc returns a site's time zone.
type ZoneFunc = func(context.Context) (*time.Location, error)

// Minutely is a slot every minute.
func Minutely(_ context.Context, at measure.Instant) (measure.Instant, error) {
	minute := measure.Instant(measure.Minute)
	return at / minute * minute, nil
}

// Daily is a slot a day: so long after each day begins on a site's clock. A day
// that begins twice, or whose midnight the clocks skip, has one slot as well.
func Daily(zone ZoneFunc, after measure.Duration) SlotFunc {
	return onDays(zone, func(d measure.Date, z *time.Location) measure.Instant { return d.AddDays(-1).End(z).Add(after) })
}

// DailyAt is a slot a day: when a site's clock shows a time of the day, given as
// what has passed since midnight on a common day. On a day on which the clocks
// skip that time it is when they are moved, and where they show it twice it is
// the first of the two.
func DailyAt(zone ZoneFunc, clock measure.Duration) SlotFunc {
	return onDays(zone, func(d measure.Date, z *time.Location) measure.Instant { return d.At(clock, z) })
}

// WeeklyAt is DailyAt on one day of the week.
func WeeklyAt(zone ZoneFunc, on time.Weekday, clock measure.Duration) SlotFunc {
	return func(ctx context.Context, at measure.Instant) (measure.Instant, error) {
		z, err := zone(ctx)
		if err != nil {
			return 0, err
		}
		day := measure.DateOf(at, z).AddDays(1)
		for day.At(12*measure.Hour, z).Time().In(z).Weekday() != on || day.At(clock, z) > at {
			day = day.AddDays(-1)
		}
		return day.At(clock, z), nil
	}
}

// onDays is a slot a day. The search begins a day ahead: a slot late in the day
// may stand before an instant that the next day's clock shows.
func onDays(zone ZoneFunc, slot func(measure.Date, *time.Location) measure.Instant) SlotFunc {
	return func(ctx context.Context, at measure.Instant) (measure.Instant, error) {
		z, err := zone(ctx)
		if err != nil {
			return 0, err
		}
		day := measure.DateOf(at, z).AddDays(1)
		for slot(day, z) > at {
			day = day.AddDays(-1)
		}
		return slot(day, z), nil
	}
}

// HoursFunc returns a site's shifts and its time zone.
type HoursFunc = func(context.Context) ([]inventory.Shift, *time.Location, error)

// ShiftEnds is a slot at the end of each shift, so long after it: a night that
// ends on the next day, and that the clocks make longer or shorter, has one end.
// A site without shifts has none but the end of each day.
func ShiftEnds(hours HoursFunc, after measure.Duration) SlotFunc {
	return func(ctx context.Context, at measure.Instant) (measure.Instant, error) {
		shifts, z, err := hours(ctx)
		if err != nil {
			return 0, err
		}
		if len(shifts) == 0 {
			shifts = []inventory.Shift{{}}
		}
		at = at.Add(-after)
		ended := inventory.Duties(shifts, at.Add(-3*measure.Day), at, z)
		ended = slices.DeleteFunc(ended, func(d inventory.Duty) bool { return d.To > at })
		var last measure.Instant
		for _, d := range ended {
			last = max(last, d.To)
		}
		return last.Add(after), nil
	}
}
