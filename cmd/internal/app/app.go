// Package app is the program as a value: a database, a site and a clock, with
// one method for everything that a person can do at the window, in QA or in
// purchasing. Commands, replays and tests call the same methods.
package app

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jmoiron/sqlx"
	"ovenward/alerts/alarm"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/ruledb"
	"ovenward/storage/rules"
)

// App joins the stores of one site in one transaction for each act.
type App struct {
	DB   *db.DB
	Site string
	Via  string            // the terminal or program that facts come through
	Now  func() time.Time  // the clock
	Sets map[string]string // single settings of rule sets, changed for a replay

	Tables func() (Tables, error) // the shop's; nil: those that come with the program

	again supposing // how what happened is judged anew; zero: as it was
}

// now is the clock's instant.
func (a *App) now() measure.Instant { return measure.At(a.Now()) }

// Zone returns the site's time zone.
func (a *App) Zone(ctx context.Context) (*time.Location, error) {
	w, err := a.Words(ctx)
	return w.Zone, err
}

// Words returns how the site writes times and temperatures.
func (a *App) Words(ctx context.Context) (w alarm.Words, err error) {
	err = a.read(ctx, 0, func(v *view) error { w = v.words(); return nil })
	return w, err
}

// Instant reads a time on the site's clock; empty text is now. The error is a
// *inventory.Refusal with code ambiguous-time, no-such-time or unit.
func (a *App) Instant(ctx context.Context, text string) (measure.Instant, error) {
	if text == "" {
		return a.now(), nil
	}
	zone, err := a.Zone(ctx)
	if err != nil {
		return 0, err
	}
	return ParseInstant(text, zone)
}

// ParseInstant reads a time on a site's clock. The error is a
// *inventory.Refusal with code ambiguous-time, no-such-time or unit.
func ParseInstant(text string, zone *time.Location) (measure.Instant, error) {
	at, err := measure.ParseInstant(text, zone)
	if err == nil {
		return at, nil
	}
	ref := &inventory.Refusal{Code: inventory.Unit, Subject: "time", Value: text, Why: err.Error(),
		Next: "write a date and a time such as 2025-06-05 07:00"}
	if e, ok := errors.AsType[*measure.AmbiguousTimeError](err); ok {
		first, second := e.First.Time().In(zone), e.Second.Time().In(zone)
		ref.Code, ref.Why = inventory.AmbiguousTime, fmt.Sprintf("%s happens twice that night in %s", text, zone)
		ref.Next = fmt.Sprintf("write %q for the first (%s UTC) or %q for the second (%s UTC)",
			text+first.Format(" MST"), e.First.Time().Format("15:04"), text+second.Format(" MST"), e.Second.Time().Format("15:04"))
	}
	if _, ok := errors.AsType[*measure.NoSuchTimeError](err); ok {
		ref.Code, ref.Next = inventory.NoSuchTime, "read the clock again; that hour was skipped"
	}
	return 0, ref
}

// read runs fn in a read-only transaction with a view of the site as it stands
// at an instant; zero is now.
func (a *App) read(ctx context.Context, at measure.Instant, fn func(v *view) error) error {
	if at == 0 {
		at = a.now()
	}
	if a.again != (supposing{}) {
		return a.readAgain(ctx, at, fn)
	}
	return a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		v, err := a.view(ctx, tx, at)
		if err != nil {
			return err
		}
		return fn(v)
	})
}

func (a *App) view(ctx context.Context, tx *sqlx.Tx, at measure.Instant) (*view, error) {
	v := &view{ctx: ctx, tx: tx, app: a, site: a.Site, at: at, zone: time.UTC,
		sets: map[string]*rules.Set{}, lots: map[string]inventory.Lot{}, places: map[string]*loaded{}, airs: map[string]*airRead{}}
	s, err := ruledb.Settings(ctx, tx, a.Site)
	switch {
	case errors.Is(err, db.ErrNotFound):
		return v, nil // a site before its setup
	case err != nil:
		return nil, err
	}
	v.settings = s
	if v.zone, err = time.LoadLocation(s.Zone); err != nil {
		return nil, fmt.Errorf("site %s: zone %q is not known on this machine: %w", a.Site, s.Zone, err)
	}
	return v, nil
}
