package app

import (
	"context"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ovendb"
)

// SourceState notes why a source cannot be read, nil if it can.
func (a *App) SourceState(ctx context.Context, s ovendb.Source, problem error) error {
	said := ""
	if problem != nil {
		said = problem.Error()
	}
	list, err := a.Sources(ctx)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(list, func(h ovendb.Heard) bool { return h.Kind == s.Kind && h.Name == s.Name })
	if i >= 0 && list[i].Problem == said {
		return nil
	}
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		return ovendb.Stand(ctx, tx, a.Site, s, said, a.now())
	})
}

// Sources returns how it stands with the sources that the daemon reads by itself.
func (a *App) Sources(ctx context.Context) (list []ovendb.Heard, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		list, err = ovendb.HeardOf(ctx, tx, a.Site)
		return err
	})
	return list, err
}

// Flags returns the values of a place from one instant to another that prove
// nothing; of all places, and those of none, for an empty name. The error is a
// *inventory.Refusal for a place that there is not.
func (a *App) Flags(ctx context.Context, place string, from, to measure.Instant) (list []ovendb.Flagged, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		p := inventory.Place{}
		if place != "" {
			if p, err = v.place(place); err != nil {
				return err
			}
		}
		list, err = ovendb.FlaggedAt(v.ctx, v.tx, v.site, p.Name, from, to)
		return err
	})
	return list, err
}

// GrownOf returns how far a file of a watched folder was read.
func (a *App) GrownOf(ctx context.Context, folder, begins string) (g ovendb.Grown, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		g, err = ovendb.GrownOf(ctx, tx, a.Site, folder, begins)
		return err
	})
	return g, err
}
