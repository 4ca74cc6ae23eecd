package measure

import (
	"fmt"
	"time"
)

// Date is a calendar day, "2025-06-05", without a zone. Dates compare in the
// order of their text.
type Date string

// ParseDate reads a date in the ISO 8601 form, the only one that means the
// same day everywhere.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, fold(s))
	if err != nil {
		return "", &UnitError{Kind: "date", Value: s, Why: "not a date", Write: "year-month-day such as 2025-06-05"}
	}
	return Date(t.Format(time.DateOnly)), nil
}

// DateOf returns the day on a site's clock at an instant.
func DateOf(i Instant, zone *time.Location) Date {
	return Date(i.Time().In(zone).Format(time.DateOnly))
}

// AddYears returns the same day n years later; 29 February becomes 1 March in
// a common year.
func (d Date) AddYears(n int) Date {
	return Date(d.time().AddDate(n, 0, 0).Format(time.DateOnly))
}

// AddMonths returns the same day n months later; a day that the month does not
// have becomes the first of the next.
func (d Date) AddMonths(n int) Date {
	t := d.time().AddDate(0, n, 0)
	if first := t.AddDate(0, 0, 1-t.Day()); t.Day() < d.time().Day() {
		t = first
	}
	return Date(t.Format(time.DateOnly))
}

// AddDays returns the day n days later.
func (d Date) AddDays(n int) Date {
	return Date(d.time().AddDate(0, 0, n).Format(time.DateOnly))
}

// DaysUntil returns the days from d to o, below zero where o is earlier.
func (d Date) DaysUntil(o Date) int { return int(o.time().Sub(d.time()).Hours() / 24) }

// End returns the instant at which the day ends on a site's clock: the first at
// which that clock shows a later date. Where the clocks skip midnight that is
// when they are moved, and where they show it twice it is the first of the two.
func (d Date) End(zone *time.Location) Instant { return d.AddDays(1).At(0, zone) }

// At returns the instant at which a site's clock shows a time of the day, given
// as what has passed since midnight on a common day: 18 h is 18:00, whether or
// not an hour of that day was skipped. Where the clocks skip the time that is
// when they are moved, and where they show it twice it is the first of the two.
func (d Date) At(clock Duration, zone *time.Location) Instant {
	wall := d.time().Add(clock.Std())
	if found := meanings(wall, zone); len(found) > 0 {
		return found[0]
	}
	before, _ := offsetsAround(wall, zone)
	moved, _ := wall.Add(-before).In(zone).ZoneBounds()
	return At(moved)
}

func (d Date) time() time.Time {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return time.Time{}
	}
	return t
}

// Week is an ISO 8601 week: Monday first, week 1 holds the year's first
// Thursday.
type Week struct {
	Year   int
	Number int
}

// WeekOf returns the week of a day.
func WeekOf(d Date) Week {
	y, n := d.time().ISOWeek()
	return Week{Year: y, Number: n}
}

// ParseWeek reads "2026-W49".
func ParseWeek(s string) (Week, error) {
	var w Week
	text := fold(s)
	_, err := fmt.Sscanf(text, "%4d-W%2d", &w.Year, &w.Number)
	if err != nil || w.String() != text || WeekOf(w.Monday()) != w {
		return Week{}, &UnitError{Kind: "week", Value: s, Why: "not a week of that year",
			Write: "year and ISO week such as 2026-W49"}
	}
	return w, nil
}

// Monday returns the first day of the week.
func (w Week) Monday() Date {
	fourth := time.Date(w.Year, 1, 4, 0, 0, 0, 0, time.UTC)
	back := (int(fourth.Weekday()) + 6) % 7
	return Date(fourth.AddDate(0, 0, (w.Number-1)*7-back).Format(time.DateOnly))
}

// Next returns the week after.
func (w Week) Next() Week { return WeekOf(w.Monday().AddDays(7)) }

// Before reports whether w is earlier than o.
func (w Week) Before(o Week) bool {
	return w.Year < o.Year || (w.Year == o.Year && w.Number < o.Number)
}

// String prints "2026-W49".
func (w Week) String() string { return fmt.Sprintf("%04d-W%02d", w.Year, w.Number) }
