package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"

	"ovenward/cmd/internal/schedule"
)

// once does what is done each minute and what has fallen due since, for shops that
// have a scheduler of their own, and says which of its jobs ran. One that fails
// holds up no other.
func (w *watcher) once(ctx context.Context, e *env) error {
	if err := w.look(ctx); err != nil {
		return err
	}
	s := schedule.Schedule{DB: w.app.DB, Site: w.app.Site, Now: e.now, Patience: stopWithin, Jobs: w.timedJobs(),
		Log: slog.New(slog.DiscardHandler)} // what it would log is said below
	ran := s.Once(ctx)
	ran = append(ran, schedule.Ran{Job: "messages", Err: w.tell(ctx)}, schedule.Ran{Job: "days", Err: w.closeDays(ctx)})
	said, errs := []string{"conditions"}, []error{}
	for _, r := range ran {
		text := r.Job
		if late := r.Due.String(); late != "" {
			text += " (" + late + ")"
		}
		if r.Err != nil {
			text += " FAILED"
			errs = append(errs, fmt.Errorf("job %s: %w", r.Job, r.Err))
		}
		said = append(said, text)
	}
	fmt.Fprintf(e.errs, "ran: %s\n", strings.Join(said, ", "))
	return errors.Join(errs...)
}
