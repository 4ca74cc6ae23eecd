// Package channel carries what happened to alarms to people and programs: into a
// file or to a web address.
package channel

import (
	"fmt"
	"strings"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Route says what a channel is told and when.
type Route struct {
	Name     string
	Priority alarm.Priority   // the least urgent that it is told; empty: all
	After    measure.Duration // told only of what nobody acknowledged for so long; zero: of everything at once
	Cleared  bool             // told as well when an alarm is over
	Hours    Span             // told only of what happens in them; zero: always
	Quiet    Span             // what is not of high priority waits until they are over
	Lists    bool             // told of no alarm at all, but of the lists that name it
}

// Escalated is the event of an alarm that nobody acknowledged in time for a
// channel.
func (r Route) Escalated() alarm.Event { return alarm.Event("escalated to " + r.Name) }

// Wants reports whether the channel is told of an event of an alarm.
func (r Route) Wants(e alarm.Event, to alarm.State, p alarm.Priority, at measure.Instant, zone *time.Location) bool {
	if r.Lists || (r.Priority != "" && p.Compare(r.Priority) > 0) || !r.Hours.Covers(at, zone) {
		return false
	}
	if r.After > 0 {
		return e == r.Escalated()
	}
	calls := e == alarm.Raise || e == alarm.Recall || e == alarm.Unshelve || e == alarm.Release || e == alarm.Restore
	return (calls && to == alarm.Unacknowledged) || (r.Cleared && e == alarm.Clear && !to.Aside())
}

// Waits reports whether nothing less than urgent is told at an instant.
func (r Route) Waits(at measure.Instant, zone *time.Location) bool {
	return !r.Quiet.IsZero() && r.Quiet.Covers(at, zone)
}

// Span is hours of the day on a site's clock, in minutes after midnight; one
// that ends before it begins goes over midnight. The zero Span is every hour.
type Span struct{ From, To int }

// IsZero reports whether no hours were given.
func (s Span) IsZero() bool { return s == Span{} }

// Covers reports whether the clock at a site shows a time in the span: so that on
// the days on which the clocks change a shift is an hour longer or shorter.
func (s Span) Covers(at measure.Instant, zone *time.Location) bool {
	t := at.Time().In(zone)
	minute := t.Hour()*60 + t.Minute()
	switch {
	case s.IsZero():
		return true
	case s.From < s.To:
		return s.From <= minute && minute < s.To
	}
	return minute >= s.From || minute < s.To
}

// ParseSpan reads hours such as "22:00-06:00"; empty text is every hour.
func ParseSpan(text string) (Span, error) {
	if text == "" {
		return Span{}, nil
	}
	from, to, ok := strings.Cut(text, "-")
	if ok {
		a, errA := time.Parse("15:04", strings.TrimSpace(from))
		b, errB := time.Parse("15:04", strings.TrimSpace(to))
		s := Span{a.Hour()*60 + a.Minute(), b.Hour()*60 + b.Minute()}
		if errA == nil && errB == nil && s.From != s.To {
			return s, nil
		}
	}
	return Span{}, fmt.Errorf("hours %q: write two different times of day such as 22:00-06:00", text)
}

// Backoff is how long to wait after so many attempts that failed: a minute, then
// twice as long each time, half an hour at most.
func Backoff(attempts int64) measure.Duration {
	const longest = 30 * measure.Minute
	d := measure.Minute
	for range min(attempts-1, 10) {
		d *= 2
	}
	return min(d, longest)
}
