package main

import (
	"context"
	"errors"
	"log/slog"
	"slices"
	"sync"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/listen"
	"ovenward/cmd/internal/pulse"
	"ovenward/cmd/internal/schedule"
)

// stopWithin is how long the watch waits for a job when it is to stop, and
// finishWithin how long of that what is under way may go on.
const (
	stopWithin   = 10 * time.Second
	finishWithin = 8 * time.Second
)

// keepOn runs all parts of the watch until it is interrupted.
func (w *watcher) keepOn(ctx context.Context, e *env, log *slog.Logger, settings config.Config) error {
	w.pulse = pulse.New(time.Now, w.channelNames(), w.app.Vitals)
	w.stand(settings.Lead, log, w.pulse.Leads)
	w.keeper = newKeeper(w.app, e.dsn, settings.Upkeep)
	if err := w.lead.Step(ctx); err != nil {
		return err
	}
	w.pulse.Leads(w.lead.Leads())
	s := &schedule.Schedule{DB: w.app.DB, Site: w.app.Site, Now: e.now, Log: log, Patience: stopWithin, Jobs: w.jobs(),
		Leads: w.lead.Leads, After: w.ran}
	parts := []watchPart{s.Run}
	if settings.Listen.Address != "" {
		l, err := listen.Open(ctx, settings.Listen.Address, log)
		if err != nil {
			return err
		}
		w.pulse.Mount(l.Mux)
		w.gather.mount(l.Mux)
		log.Info("listening", "address", l.Address())
		parts = append(parts, func(ctx context.Context) error { return l.Serve(ctx, stopWithin) })
	}
	if len(settings.Readings.Topics) > 0 {
		parts = append(parts, whileLeading(w.lead.Leads, w.gather.topics(settings)))
	}
	return w.led(ctx, parts)
}

// led runs parts, with the lead in hand if it can be had until all have ended.
func (w *watcher) led(ctx context.Context, parts []watchPart) error {
	leading, layDown := context.WithCancel(context.WithoutCancel(ctx))
	var keeper sync.WaitGroup
	keeper.Go(func() { w.lead.Keep(leading) })
	defer keeper.Wait()
	defer layDown()
	return together(ctx, parts...)
}

// jobs are what the watch does and when.
func (w *watcher) jobs() []schedule.Job {
	jobs := append(w.gather.jobs(), []schedule.Job{
		{Name: "conditions", Run: schedule.Plain(finished(w.look))},
		{Name: "messages", Run: schedule.Plain(finished(w.tell))},
		{Name: "days", Slot: schedule.Daily(w.app.Zone, app.CloseAfter), Run: schedule.Plain(w.closeDays)},
	}...)
	return slices.Concat(jobs, w.timedJobs(), w.keeper.jobs())
}

func (w *watcher) ran(r schedule.Ran) { w.pulse.Ran(r.Job, r.Due.Late() != 0, r.Err) }

func (w *watcher) channelNames() (names []string) {
	for _, c := range w.channels {
		names = append(names, c.Name)
	}
	return names
}

// watchPart is something that runs until its context ends, and returns why it ended
// before, nil for no other reason.
type watchPart func(ctx context.Context) error

// together runs parts until the context ends. One that ends by itself ends the
// others, so that a watch of which a part is gone is started again as a whole.
func together(ctx context.Context, parts ...watchPart) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	errs := make([]error, len(parts))
	var all sync.WaitGroup
	for i, p := range parts {
		all.Go(func() {
			defer stop()
			errs[i] = p(ctx)
		})
	}
	all.Wait()
	return errors.Join(errs...)
}
