package app

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
)

// NoteCheck keeps what a job of the program found of something that is no fact of
// the shop: a backup, the ledger, the disk, the clock. The next look of the watch
// raises or ends what follows from it.
func (a *App) NoteCheck(ctx context.Context, c alarm.Check) error {
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error { return alarmdb.NoteCheck(ctx, tx, a.Site, c) })
}

// checked adds what follows from what jobs found.
func (w *watching) checked() error {
	list, err := alarmdb.Checks(w.ctx, w.tx, w.site)
	if err != nil {
		return err
	}
	w.see(alarm.Checked(list, w.catalogue, w.at))
	return nil
}

// SetAlarms puts what a file of settings says of alarms in place of what was said
// before. Every command of the site goes by it.
func (a *App) SetAlarms(ctx context.Context, settings []alarm.Setting) error {
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error { return alarmdb.SetCatalogue(ctx, tx, a.Site, settings) })
}

// Alarmed returns what the catalogue says of every kind of alarm at the site.
func (a *App) Alarmed(ctx context.Context) (c alarm.Catalogue, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		c, err = alarmdb.Catalogue(ctx, tx, a.Site)
		return err
	})
	return c, err
}
