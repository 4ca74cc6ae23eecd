package app

import (
	"context"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
)

// Upkept is how a kind of upkeep of the database stands.
type Upkept struct {
	Kind alarmdb.Task
	Last alarmdb.Upkeep // zero: it was never done
	Good alarmdb.Upkeep // the last that found nothing wrong
}

// Upkeep returns how each kind of upkeep stands.
func (a *App) Upkeep(ctx context.Context) (list []Upkept, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		list = nil
		for _, t := range alarmdb.Tasks() {
			last, good, err := alarmdb.Kept(ctx, tx, a.Site, t)
			if err != nil {
				return err
			}
			list = append(list, Upkept{t, last, good})
		}
		return nil
	})
	return list, err
}
