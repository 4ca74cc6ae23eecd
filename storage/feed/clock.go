package feed

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
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

// Clock reads times as a file writes them.
type Clock struct{ clock }

// NewClock returns a clock of a zone for a layout of times, see Layouts; empty
// is as measure.ParseInstant reads them. The error is a *LayoutError.
func NewClock(layout string, zone *time.Location) (*Clock, error) {
	form, err := parseLayout(layout)
	if err != nil {
		return nil, err
	}
	return &Clock{clock{zone: zone, layout: form}}, nil
}

// Instant reads a time. The error says what is wrong with it; it is a
// *measure.AmbiguousTimeError or a *measure.NoSuchTimeError on the nights on
// which the clocks are changed.
func (c *Clock) Instant(text string) (measure.Instant, error) { return c.read([]byte(text)) }

// Day reads a day as the layout writes it, or in the ISO form. The error says
// what is wrong with it.
func (c *Clock) Day(text string) (measure.Date, error) {
	if c.layout.fields == nil {
		return measure.ParseDate(text)
	}
	w, rest, ok := c.layout.day().read([]byte(text))
	if !ok || len(rest) > 0 || !w.exists() {
		return "", fmt.Errorf("not a day in the layout %q", c.layout.text)
	}
	return measure.ParseDate(fmt.Sprintf("%04d-%02d-%02d", w.year, w.month, w.day))
}

// SameDay returns the instant at which the zone's clock shows a time of day,
// "7:05" or "19:30:00", on the day of another instant. The error is as that of
// Instant.
func (c *Clock) SameDay(day measure.Instant, text string) (measure.Instant, error) {
	if i := strings.IndexByte(text, ':'); i == 1 {
		text = "0" + text
	}
	return measure.ParseInstant(string(measure.DateOf(day, c.zone))+" "+text, c.zone)
}

// NextDay returns the instant at which the zone's clock shows the same time a
// day later. The error is a *measure.AmbiguousTimeError or a
// *measure.NoSuchTimeError.
func (c *Clock) NextDay(at measure.Instant) (measure.Instant, error) {
	t := at.Time().In(c.zone).AddDate(0, 0, 1)
	return measure.ParseInstant(t.Format(time.DateTime), c.zone)
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
	return measure.ParseInstant(sheet.Text(cell), c.zone)
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
	iso := fmt.Sprintf("%04d-%02d-%02d %02d:%02d:%02d%s", w.year, w.month, w.day, w.hour, w.minute, w.second, sheet.Text(rest))
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
