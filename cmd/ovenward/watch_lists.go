package main

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"time"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/schedule"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// listWidth is how wide a list is made: a mail is read in a window of that width.
const listWidth = 120

// timedJobs are what the watch does at fixed times.
func (w *watcher) timedJobs() []schedule.Job { return w.listJobs() }

// listJobs are the lists of the file of settings, and the reminder of oven checks.
func (w *watcher) listJobs() (jobs []schedule.Job) {
	for _, l := range w.lists {
		jobs = append(jobs, schedule.Job{Name: "list " + l.Name, Lane: "lists", Slot: w.listSlot(l), Retry: 5 * measure.Minute,
			Run: func(ctx context.Context, d schedule.Due) error { return w.list(ctx, l, d) }})
	}
	if w.reminder.Before > 0 {
		jobs = append(jobs, schedule.Job{Name: "reminder", Run: schedule.Plain(func(ctx context.Context) error {
			_, err := w.app.Remind(ctx, w.reminder.Before, w.reminder.Channels)
			return err
		})})
	}
	return jobs
}

func (w *watcher) listSlot(l config.List) schedule.SlotFunc {
	switch l.Every {
	case config.EachShift:
		return schedule.ShiftEnds(w.hours, l.After)
	case config.EachWeek:
		return schedule.WeeklyAt(w.app.Zone, l.Day, l.Clock)
	case config.EachDay:
	}
	return schedule.DailyAt(w.app.Zone, l.Clock)
}

// hours returns the site's shifts and zone.
func (w *watcher) hours(ctx context.Context) ([]inventory.Shift, *time.Location, error) {
	h, err := w.app.Habits(ctx)
	return h.Shifts, h.Zone, err
}

// list makes a list and leaves it to be told. One that was just set up is told
// nothing of a time before that.
func (w *watcher) list(ctx context.Context, l config.List, d schedule.Due) error {
	if d.First && d.At.Sub(d.Slot) > measure.Hour {
		return nil
	}
	from := d.Last
	if from == 0 {
		var err error
		if from, err = w.listSlot(l)(ctx, d.Slot-1); err != nil {
			return err
		}
	}
	site, err := w.app.Habits(ctx)
	if err != nil {
		return err
	}
	end := d.Slot.Add(-l.After) // of the shift
	q := report.Query{From: from.Add(-l.After), To: end, At: end, Asked: "the list " + l.Name}
	made, err := l.Report.Make(ctx, w.app, q)
	if err != nil {
		return err
	}
	var body bytes.Buffer
	if err := made.Print(&show.Printer{W: &body, Format: show.AsTable, Width: listWidth}, "", site.Units); err != nil {
		return err
	}
	_, err = w.app.Post(ctx, alarmdb.List{Name: l.Name, Slot: d.Slot, Head: w.listHead(made, site.Zone, end, d), Body: body.String()}, l.Channels)
	return err
}

// listHead is a list in one line: what of each part there is, and how late it is.
func (w *watcher) listHead(made report.Made, zone *time.Location, end measure.Instant, d schedule.Due) string {
	var parts []string
	for _, p := range made.Parts {
		if n := len(p.Rows); n > 0 {
			parts = append(parts, fmt.Sprintf("%s: %d", p.Title, n))
		}
	}
	head := fmt.Sprintf("%s, %s", made.Title, when(end, zone))
	if late := d.String(); late != "" {
		head += " (" + late + ")"
	}
	if len(parts) == 0 {
		return head + ": nothing to see to"
	}
	return head + ": " + strings.Join(parts, "; ")
}
