package measure

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// AmbiguousTimeError reports a local time that happens twice, on the night
// the clocks go back.
type AmbiguousTimeError struct {
	Value         string // the date and time as given, without what did not decide
	First, Second Instant
	Zone          *time.Location
}

// Error names both instants and how to choose.
func (e *AmbiguousTimeError) Error() string {
	first, second := e.First.Time().In(e.Zone), e.Second.Time().In(e.Zone)
	name := " MST"
	if first.Format(name) == second.Format(name) {
		name = " -07:00" // some zones changed their offset and kept its name
	}
	return fmt.Sprintf("%s happens twice in %s: write %q for the first (%s UTC) or %q for the second (%s UTC)",
		e.Value, e.Zone, e.Value+first.Format(name), e.First.Time().Format("15:04"),
		e.Value+second.Format(name), e.Second.Time().Format("15:04"))
}

// NoSuchTimeError reports a local time that the clocks skip, on the night they
// go forward.
type NoSuchTimeError struct {
	Value         string
	Before, After Instant // the same reading with the offsets before and after the change
	Zone          *time.Location
}

// Error says what the clock did.
func (e *NoSuchTimeError) Error() string {
	return fmt.Sprintf("%s does not exist in %s: the clocks went forward over it; write %s or %s",
		e.Value, e.Zone, e.After.In(e.Zone), e.Before.In(e.Zone))
}

const writeInstant = `a date and a time such as 2025-06-05 07:00`

var localLayouts = []string{"2006-01-02 15:04:05", "2006-01-02 15:04"}

// ParseInstant reads a date and time on a site's clock, "2025-06-05 07:00",
// with an offset or the zone's own abbreviation behind it where the hour
// happens twice ("2025-11-02 01:30 EDT", "2025-11-02 01:30 -04:00"), or RFC
// 3339. The error is a *UnitError, *AmbiguousTimeError or *NoSuchTimeError.
func ParseInstant(s string, zone *time.Location) (Instant, error) {
	text := fold(s)
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return At(t), nil
	}
	if len(text) > 10 && text[10] == 'T' {
		text = text[:10] + " " + text[11:]
	}
	for _, layout := range localLayouts {
		if t, err := time.Parse(layout, text); err == nil {
			return fromWall(s, t, zone)
		}
		for _, offset := range []string{" Z07:00", "Z07:00"} {
			if t, err := time.Parse(layout+offset, text); err == nil {
				return At(t), nil
			}
		}
		if i := strings.LastIndexByte(text, ' '); i > len("2006-01-02") {
			if t, err := time.Parse(layout, text[:i]); err == nil {
				return withAbbreviation(s, t, text[:i], text[i+1:], zone)
			}
		}
	}
	return 0, &UnitError{Kind: "instant", Value: s, Why: "not a date and time", Write: writeInstant}
}

// fromWall turns a wall-clock reading into its one instant, if it has one.
func fromWall(s string, wall time.Time, zone *time.Location) (Instant, error) {
	found := meanings(wall, zone)
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		before, after := offsetsAround(wall, zone)
		return 0, &NoSuchTimeError{Value: s, Zone: zone,
			Before: At(wall.Add(-before)), After: At(wall.Add(-after))}
	default:
		return 0, &AmbiguousTimeError{Value: s, First: found[0], Second: found[1], Zone: zone}
	}
}

// withAbbreviation chooses among the meanings of a wall-clock reading by the
// abbreviation behind it.
func withAbbreviation(s string, wall time.Time, local, name string, zone *time.Location) (Instant, error) {
	named := slices.DeleteFunc(meanings(wall, zone), func(i Instant) bool {
		return !strings.EqualFold(i.Time().In(zone).Format("MST"), name)
	})
	switch len(named) {
	case 1:
		return named[0], nil
	case 0:
		return 0, &UnitError{Kind: "instant", Value: s,
			Why: fmt.Sprintf("%s is not the clock of %s then", name, zone), Write: writeInstant}
	}
	return 0, &AmbiguousTimeError{Value: local, First: named[0], Second: named[1], Zone: zone}
}

// meanings returns the instants at which the zone's clock shows the wall
// reading, earliest first.
func meanings(wall time.Time, zone *time.Location) []Instant {
	before, after := offsetsAround(wall, zone)
	var found []Instant
	for _, offset := range []time.Duration{before, after} {
		t := wall.Add(-offset)
		_, seconds := t.In(zone).Zone()
		if time.Duration(seconds)*time.Second != offset {
			continue
		}
		if i := At(t); len(found) == 0 || found[0] != i {
			found = append(found, i)
		}
	}
	return found
}

// offsetsAround returns the zone's offsets a day before and a day after.
func offsetsAround(wall time.Time, zone *time.Location) (before, after time.Duration) {
	_, b := wall.Add(-24 * time.Hour).In(zone).Zone()
	_, a := wall.Add(24 * time.Hour).In(zone).Zone()
	return time.Duration(b) * time.Second, time.Duration(a) * time.Second
}
