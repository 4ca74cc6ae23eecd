package measure

import "time"

// Instant is a point in time in microseconds since 1970-01-01 00:00 UTC. It
// has no zone; a site's zone is named where it is printed or read.
type Instant int64

// At returns the instant of a time, cut to whole microseconds.
func At(t time.Time) Instant { return Instant(t.UnixMicro()) }

// Time returns the instant as a time in UTC.
func (i Instant) Time() time.Time { return time.UnixMicro(int64(i)).UTC() }

// Add returns the instant d later.
func (i Instant) Add(d Duration) Instant { return i + Instant(d) }

// Sub returns the time elapsed from o to i.
func (i Instant) Sub(o Instant) Duration { return Duration(i - o) }

// String prints RFC 3339 in UTC with as many decimals as are not zero.
func (i Instant) String() string { return i.Time().Format(time.RFC3339Nano) }

// In prints the instant to the minute on a site's clock, with seconds where
// there are any: "2025-06-05 10:45".
func (i Instant) In(zone *time.Location) string {
	t := i.Time().In(zone)
	if t.Second() != 0 {
		return t.Format("2006-01-02 15:04:05")
	}
	return t.Format("2006-01-02 15:04")
}

// Clock prints the time of day on a site's clock, with the date in front when
// it is another day there than at base: "10:45", "6 Jun 10:45".
func (i Instant) Clock(zone *time.Location, base Instant) string {
	t, b := i.Time().In(zone), base.Time().In(zone)
	layout := "15:04"
	if t.Second() != 0 {
		layout = "15:04:05"
	}
	if t.Format(time.DateOnly) != b.Format(time.DateOnly) {
		layout = "2 Jan " + layout
	}
	return t.Format(layout)
}

// Minute cuts the instant to its minute: a limit may be shown earlier than it
// is, never later.
func (i Instant) Minute() Instant {
	m := Instant(Minute)
	return i - ((i%m)+m)%m
}

// NextMinute is the first whole minute not before the instant: the end of a
// hold may be shown later than it is, never earlier.
func (i Instant) NextMinute() Instant { return (i + Instant(Minute) - 1).Minute() }
