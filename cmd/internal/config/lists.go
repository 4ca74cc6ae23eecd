package config

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/schedule"
	"ovenward/inventory/measure"
)

// List is a report that is made at fixed times and told to channels.
type List struct {
	Name     string
	Report   report.Report
	Every    Every
	Clock    measure.Duration // the time of day, as what has passed since midnight; of a day or a week
	Day      time.Weekday     // of a week
	After    measure.Duration // the end of the shift
	Channels []string
}

// Every is how often a list is made.
type Every string

// How often a list may be made.
const (
	EachShift Every = "shift" // at its end
	EachDay   Every = "day"
	EachWeek  Every = "week"
)

// Reminder says who is reminded of the checks of ovens, and how long before they
// are due. The zero Reminder reminds nobody.
type Reminder struct {
	Before   measure.Duration
	Channels []string
}

type writtenList struct {
	Name   string   `toml:"name"`
	Report string   `toml:"report"`
	Every  string   `toml:"every"`
	At     string   `toml:"at"`
	On     string   `toml:"on"`
	After  string   `toml:"after"`
	To     []string `toml:"to"`
}

type writtenReminder struct {
	Before string   `toml:"before"`
	To     []string `toml:"to"`
}

// lists reads the lists and the reminder of oven checks, which name channels of
// the same file.
func (c *Config) lists(file string, w written) error {
	for i, l := range w.List {
		r := reader{file: file, where: "list " + cmp.Or(l.Name, l.Report, fmt.Sprint(i+1))}
		one, err := r.list(l)
		if err == nil {
			err = r.to(one.Channels, c.Channels)
		}
		if err == nil && slices.ContainsFunc(c.Lists, func(o List) bool { return o.Name == one.Name }) {
			err = r.fault("name", "another list has this name: give it one of its own")
		}
		if err != nil {
			return err
		}
		c.Lists = append(c.Lists, one)
	}
	if w.Reminder == nil {
		return nil
	}
	r := reader{file: file, where: "reminder"}
	before, err := r.time("before", w.Reminder.Before)
	if err != nil {
		return err
	}
	c.Reminder = Reminder{Before: before, Channels: w.Reminder.To}
	return r.to(w.Reminder.To, c.Channels)
}

func (r reader) list(w writtenList) (l List, err error) {
	l = List{Name: cmp.Or(w.Name, w.Report), Every: Every(w.Every), Channels: w.To}
	if l.Report, err = report.Find(w.Report); err != nil {
		return l, r.fault("report", "%q: %v; see ovenward report list", w.Report, err)
	}
	if l.Report.Of != "" && !strings.HasPrefix(l.Report.Of, "[") {
		return l, r.fault("report", "%q is of one %s: it cannot be made by the clock alone", w.Report, strings.ToLower(l.Report.Of))
	}
	asked := map[Every][]string{EachShift: {"after"}, EachDay: {"at"}, EachWeek: {"at", "on"}}
	may, ok := asked[l.Every]
	if !ok {
		return l, r.fault("every", "%q: use shift, day or week", w.Every)
	}
	for field, text := range map[string]string{"at": w.At, "on": w.On, "after": w.After} {
		if text != "" && !slices.Contains(may, field) {
			return l, r.fault(field, "a list of every %s takes %s", l.Every, strings.Join(may, " and "))
		}
	}
	switch l.Every {
	case EachShift:
		if w.After != "" {
			l.After, err = r.time("after", w.After)
		}
		return l, err
	case EachWeek:
		if l.Day, err = schedule.ParseWeekday(w.On); err != nil {
			return l, r.fault("on", "%v", err)
		}
	case EachDay:
	}
	l.Clock, err = r.clock("at", w.At)
	return l, err
}

// to holds the channels that are named against those of the file.
func (r reader) to(named []string, channels []Channel) error {
	if len(named) == 0 {
		return r.fault("to", "name the channels that are told")
	}
	for _, n := range named {
		if !slices.ContainsFunc(channels, func(c Channel) bool { return c.Name == n }) {
			return r.fault("to", "there is no channel %q in this file", n)
		}
	}
	return nil
}

// time reads how long something lasts: more than nothing, and less than a day.
func (r reader) time(field, text string) (measure.Duration, error) {
	d, err := measure.ParseDuration(text)
	if err != nil || d <= 0 || d >= measure.Day {
		return 0, r.fault(field, "%q: how long, such as 15m, and less than a day", text)
	}
	return d, nil
}

// clock reads a time of the day.
func (r reader) clock(field, text string) (measure.Duration, error) {
	t, err := time.Parse("15:04", text)
	if err != nil {
		return 0, r.fault(field, "%q: a time of the day on the site's clock, such as 06:30", text)
	}
	return measure.Duration(t.Hour())*measure.Hour + measure.Duration(t.Minute())*measure.Minute, nil
}
