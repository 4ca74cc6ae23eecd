package app

import (
	"context"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// Vitals is what those who look after the watch want to know of a site.
type Vitals struct {
	At       measure.Instant
	Watched  alarmdb.Mark // how far the watch has looked
	Open     int64        // bundles that are open and not used up
	Alarms   []alarmdb.Count
	Channels []alarmdb.Untold
}

// Vitals returns how a site stands now. It reads little, so that it can be asked
// every few seconds.
func (a *App) Vitals(ctx context.Context) (s Vitals, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		s = Vitals{At: v.at}
		if s.Watched, err = alarmdb.Watched(ctx, v.tx, v.site); err != nil {
			return err
		}
		if s.Open, err = stockdb.CountOpen(ctx, v.tx, v.site); err != nil {
			return err
		}
		if s.Alarms, err = alarmdb.Counts(ctx, v.tx, v.site); err != nil {
			return err
		}
		s.Channels, err = alarmdb.AllUntold(ctx, v.tx, v.site)
		return err
	})
	return s, err
}
