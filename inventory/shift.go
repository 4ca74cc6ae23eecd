package inventory

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/inventory/measure"
)

// Shift is a time of the day in which one crew works, on a site's clock. Start
// and End are what has passed since midnight; a shift whose End is not after its
// Start ends on the next day.
type Shift struct {
	Start, End measure.Duration
}

// ParseShifts reads "06:00-18:00,18:00-06:00" in any order and returns the
// shifts in the order of their beginning. There may be time between them, when
// nobody works. The error is a *Refusal with code unit for what is not of that
// form and for shifts that overlap.
func ParseShifts(text string) ([]Shift, error) {
	var all []Shift
	for part := range strings.SplitSeq(text, ",") {
		s, ok := parseShift(strings.TrimSpace(part))
		if !ok {
			return nil, &Refusal{Code: Unit, Subject: "shifts", Value: part, Why: quote(part) + " is not a shift",
				Next: "write each with its beginning and end, such as 06:00-18:00,18:00-06:00"}
		}
		all = append(all, s)
	}
	slices.SortFunc(all, func(a, b Shift) int { return cmp.Compare(a.Start, b.Start) })
	for i, s := range all {
		next := all[(i+1)%len(all)].Start
		if i+1 == len(all) {
			next += measure.Day
		}
		if s.Start+s.length() > next {
			return nil, &Refusal{Code: Unit, Subject: "shifts", Value: text, Why: "shift " + s.String() + " is not over when the next one begins",
				Next: "a fact belongs to one shift: let each begin when the one before it ends, or later"}
		}
	}
	return all, nil
}

func parseShift(text string) (s Shift, ok bool) {
	start, end, ok := strings.Cut(text, "-")
	if !ok {
		return s, false
	}
	for _, side := range []struct {
		text string
		into *measure.Duration
	}{{start, &s.Start}, {end, &s.End}} {
		t, err := time.Parse("15:04", strings.TrimSpace(side.text))
		if err != nil {
			return s, false
		}
		*side.into = measure.Duration(t.Hour())*measure.Hour + measure.Duration(t.Minute())*measure.Minute
	}
	return s, true
}

// length is how long the shift is on a day whose clock is not moved.
func (s Shift) length() measure.Duration {
	if s.End <= s.Start {
		return s.End + measure.Day - s.Start
	}
	return s.End - s.Start
}

// String prints the shift as ParseShifts reads it: "18:00-06:00".
func (s Shift) String() string { return hourMinute(s.Start) + "-" + hourMinute(s.End) }

func hourMinute(d measure.Duration) string {
	return fmt.Sprintf("%02d:%02d", d/measure.Hour, d%measure.Hour/measure.Minute)
}

// ShiftsText prints shifts as ParseShifts reads them.
func ShiftsText(all []Shift) string {
	parts := make([]string, len(all))
	for i, s := range all {
		parts[i] = s.String()
	}
	return strings.Join(parts, ",")
}

// Duty is a shift of one day: the night shift of 10 June ends on 11 June and is
// still of 10 June. From is in it, To is not.
type Duty struct {
	Shift    Shift
	Date     measure.Date // of its beginning, on the site's clock
	From, To measure.Instant
}

// On returns the shift that begins on a day. A night in which the clocks are
// moved is an hour longer or shorter.
func (s Shift) On(day measure.Date, zone *time.Location) Duty {
	last := day
	if s.End <= s.Start {
		last = day.AddDays(1)
	}
	return Duty{Shift: s, Date: day, From: day.At(s.Start, zone), To: last.At(s.End, zone)}
}

// String prints the day and the shift: "2025-06-10 18:00-06:00".
func (d Duty) String() string { return string(d.Date) + " " + d.Shift.String() }

// Has reports whether an instant is in the shift.
func (d Duty) Has(at measure.Instant) bool { return d.From <= at && at < d.To }

// DutyAt returns the shift that an instant falls into; false between shifts.
func DutyAt(all []Shift, at measure.Instant, zone *time.Location) (Duty, bool) {
	today := measure.DateOf(at, zone)
	for _, day := range []measure.Date{today, today.AddDays(-1)} {
		for _, s := range all {
			if d := s.On(day, zone); d.Has(at) {
				return d, true
			}
		}
	}
	return Duty{}, false
}

// Duties returns the shifts that have any time from one instant up to another,
// in order.
func Duties(all []Shift, from, to measure.Instant, zone *time.Location) []Duty {
	var out []Duty
	if to <= from {
		return nil
	}
	last := measure.DateOf(to, zone)
	for day := measure.DateOf(from, zone).AddDays(-1); day <= last; day = day.AddDays(1) {
		for _, s := range all {
			if d := s.On(day, zone); d.From < to && d.To > from {
				out = append(out, d)
			}
		}
	}
	return out
}
