package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"ovenward/alerts/channel"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/lead"
	"ovenward/inventory/measure"
)

// frozenFor is how long a transaction of the watch may do nothing on a server
// before its locks are taken from it, so that another watch can take over from one
// that was frozen, or whose machine is gone.
const frozenFor = 30 * time.Second

// stand lets this program take part in who leads. From then on whatever the watch
// writes is refused if another leads, and a message goes out only after the
// database was asked.
func (w *watcher) stand(settings config.Lead, log *slog.Logger, changed func(leads bool)) {
	w.lead = lead.New(w.app.DB, w.app.Site, w.app.Now, settings.Lease, log, changed)
	fenced := *w.app
	fenced.DB = w.app.DB.Fenced(w.lead.Check)
	w.app = &fenced
	for i, c := range w.channels {
		w.channels[i].Sender = leading{w.lead, c.Sender}
	}
}

// leading is a sender that sends for the leader alone.
type leading struct {
	lead *lead.Lead
	to   channel.Sender
}

// Send implements channel.Sender.
func (l leading) Send(ctx context.Context, m channel.Message, now measure.Instant) error {
	if err := l.lead.Confirm(ctx); err != nil {
		return err
	}
	return l.to.Send(ctx, m, now)
}

// onceIfLeading does everything once, unless a watch that runs does it.
func (w *watcher) onceIfLeading(ctx context.Context, e *env, settings config.Config) error {
	w.stand(settings.Lead, slog.New(slog.NewTextHandler(e.errs, &slog.HandlerOptions{Level: slog.LevelWarn})), nil)
	layDown, err := w.lead.Once(ctx)
	if errors.Is(err, lead.ErrNotLeading) {
		fmt.Fprintf(e.errs, "nothing was done: %v, and looks by itself\n", err)
		return nil
	}
	if err != nil {
		return err
	}
	defer layDown()
	return w.once(ctx, e)
}

// finished lets what is under way when the program is to stop come to its end,
// so that a message that is out is noted as told, but not for ever.
func finished(do func(context.Context) error) func(context.Context) error {
	return func(ctx context.Context) error {
		lasting, cancel := context.WithCancel(context.WithoutCancel(ctx))
		defer cancel()
		ending := make(chan struct{})
		defer close(ending)
		unhook := context.AfterFunc(ctx, func() {
			select {
			case <-time.After(finishWithin):
				cancel()
			case <-ending:
			}
		})
		defer unhook()
		return do(lasting)
	}
}

// leadLook is how often a part that only the leader runs asks who leads.
const leadLook = time.Second

// whileLeading runs a part whenever this program leads, and ends it when another
// does: two that listen under one name would throw each other off the broker. A
// part that ends by itself ends the watch.
func whileLeading(leads func() bool, part watchPart) watchPart {
	return func(ctx context.Context) error {
		for comesTrue(ctx, leads) {
			term, end := context.WithCancel(ctx)
			var over sync.WaitGroup
			over.Go(func() {
				if comesTrue(term, func() bool { return !leads() }) {
					end()
				}
			})
			err := part(term)
			ended := term.Err() != nil
			end()
			over.Wait()
			if err != nil || !ended {
				return err
			}
		}
		return nil
	}
}

// comesTrue waits until holds returns true; it returns false where the context ends
// before that.
func comesTrue(ctx context.Context, holds func() bool) bool {
	for !holds() {
		select {
		case <-ctx.Done():
			return false
		case <-time.After(leadLook):
		}
	}
	return ctx.Err() == nil
}
