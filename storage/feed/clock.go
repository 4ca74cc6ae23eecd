package feed

import (
	"errors"
	"fmt"
	"math"
	"time"

	"ovenward/inventory/measure"
)

// clock reads times. What it returns is what measure.ParseInstant does; it is
// quicker where the text has one of the usual forms and the zone's clock did
// not change on a day near it.
type clock struct {
	zone     *time.Location
	layout   layout
	from, to int64 // wall-clock seconds between which the offset is known
	offset   int64 // seconds
}

func (c *clock) read(cell []byte) (measure.Instant, error) {
	switch {
	case c.layout.epoch != 0:
		return c.layout.count(cell)
	case c.layout.fields != nil:
		return c.laidOut(cell)
	}
	w, micro, offset, ok := readISO(cell)
	switch {
	case !ok || !w.exists():
	case offset != local:
		return instant(w.seconds()-offset, micro), nil
	default:
		if at, ok := c.known(w.seconds(), micro); ok {
			return at, nil
		}
	}
	return measure.ParseInstant(text(cell), c.zone)
}

// laidOut reads a time in the layout of the mapping, with an offset or the
// zone's abbreviation behind it where the hour happens twice.
func (c *clock) laidOut(cell []byte) (measure.Instant, error) {
	w, rest, ok := c.layout.read(cell)
	if !ok || (len(rest) > 0 && rest[0] != ' ') {
		return 0, fmt.Errorf("not a time in the layout %q", c.layout.text)
	}
	if !w.exists() {
		return 0, fmt.Errorf("no such date or time (layout %q)", c.layout.text)
	}
	if len(rest) == 0 {
		if at, ok := c.known(w.seconds(), 0); ok {
			return at, nil
		}
	}
	iso := fmt.Sprintf("%04d-%02d-%02d %02d:%02d:%02d%s", w.year, w.month, w.day, w.hour, w.minute, w.second, text(rest))
	return measure.ParseInstant(iso, c.zone)
}

// known returns the instant at which the zone's clock shows the wall-clock
// seconds, where that is beyond doubt.
func (c *clock) known(wall int64, micro int64) (measure.Instant, bool) {
	if wall < c.from || wall >= c.to {
		c.look(wall)
	}
	return instant(wall-c.offset, micro), wall >= c.from && wall < c.to
}

// look finds the stretch around the wall-clock seconds in which the zone keeps
// one offset, a day from its changes at least. Nearer to a change
// measure.ParseInstant is asked, which looks a day to both sides.
func (c *clock) look(wall int64) {
	const day = 86_400
	period := time.Unix(wall, 0).In(c.zone)
	_, offset := period.Zone()
	start, end := period.ZoneBounds()
	c.from, c.to, c.offset = math.MinInt64, math.MaxInt64, int64(offset)
	if !start.IsZero() {
		c.from = start.Unix() + day
	}
	if !end.IsZero() {
		c.to = end.Unix() - day
	}
}

func instant(seconds, micro int64) measure.Instant {
	return measure.Instant(seconds*int64(measure.Second) + micro)
}

// local says that a time has no offset behind it.
const local = math.MinInt64

// readISO reads "2025-06-05 06:40", with T between, with seconds and parts of
// them, and with seconds, T and an offset: RFC 3339.
func readISO(b []byte) (w wall, micro, offset int64, ok bool) {
	if len(b) < len("2025-06-05 06:40") || b[4] != '-' || b[7] != '-' || (b[10] != ' ' && b[10] != 'T') || b[13] != ':' {
		return w, 0, 0, false
	}
	n := numbers{ok: true}
	w = wall{year: 100*n.two(b[0:]) + n.two(b[2:]), month: n.two(b[5:]), day: n.two(b[8:]),
		hour: n.two(b[11:]), minute: n.two(b[14:])}
	rest := b[16:]
	if len(rest) == 0 {
		return w, 0, local, n.ok
	}
	if len(rest) < len(":00") || rest[0] != ':' {
		return w, 0, 0, false
	}
	w.second = n.two(rest[1:])
	micro, rest = fraction(rest[3:])
	if len(rest) == 0 {
		return w, micro, local, n.ok
	}
	offset, ok = n.offset(rest)
	return w, micro, offset, ok && n.ok && b[10] == 'T'
}

// fraction reads parts of a second, cut to whole microseconds.
func fraction(b []byte) (micro int64, rest []byte) {
	if len(b) < 2 || b[0] != '.' {
		return 0, b
	}
	i, unit := 1, int64(100_000)
	for ; i < len(b) && b[i] >= '0' && b[i] <= '9'; i++ {
		micro += int64(b[i]-'0') * unit
		unit /= 10
	}
	if i == 1 {
		return 0, b
	}
	return micro, b[i:]
}

// numbers reads pairs of digits and remembers whether all were.
type numbers struct{ ok bool }

func (n *numbers) two(b []byte) int {
	tens, ones := b[0]-'0', b[1]-'0'
	if tens > 9 || ones > 9 {
		n.ok = false
	}
	return int(tens)*10 + int(ones)
}

// offset reads "Z", "+02:00" and "-04:00" in seconds.
func (n *numbers) offset(b []byte) (int64, bool) {
	if len(b) == 1 && b[0] == 'Z' {
		return 0, true
	}
	if len(b) != len("+00:00") || (b[0] != '+' && b[0] != '-') || b[3] != ':' {
		return 0, false
	}
	hours, minutes := n.two(b[1:]), n.two(b[4:])
	seconds := int64(hours*3_600 + minutes*60)
	if b[0] == '-' {
		seconds = -seconds
	}
	return seconds, hours < 24 && minutes < 60
}

// count reads seconds or milliseconds since 1970, with parts of them or without.
func (l *layout) count(cell []byte) (measure.Instant, error) {
	const (
		most      = 15 // digits
		year10000 = 253_402_300_800
	)
	n, digits := int64(0), 0
	for digits < len(cell) && digits < most && cell[digits] >= '0' && cell[digits] <= '9' {
		n = n*10 + int64(cell[digits]-'0')
		digits++
	}
	millionths, rest := fraction(cell[digits:])
	if digits == 0 || len(rest) > 0 {
		return 0, fmt.Errorf("not a count since 1970 (layout %q)", l.text)
	}
	if n/l.epoch >= year10000 {
		return 0, errors.New(`later than the year 9999; milliseconds have the layout "epoch ms"`)
	}
	return instant(n/l.epoch, (n%l.epoch*1_000_000+millionths)/l.epoch), nil
}
