package app

import (
	"context"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory/measure"
)

// AlarmFigures returns how many alarms there were from one instant up to another
// for a number of operators, and of which span that is: from the first alarm ever
// where from is zero.
func (a *App) AlarmFigures(ctx context.Context, from, to measure.Instant, operators int) (f alarm.Figures, s alarm.Span, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		to = min(to, v.at+1) // what is to come has no alarms yet
		record, err := alarmdb.Record(v.ctx, v.tx, v.site, to)
		if err != nil {
			return err
		}
		if from == 0 {
			from = to
			if len(record) > 0 {
				from = min(to, record[0].At)
			}
		}
		catalogue, err := alarmdb.Catalogue(v.ctx, v.tx, v.site)
		if err != nil {
			return err
		}
		s = alarm.Span{From: from, To: to, Midnights: v.midnights(from, to), Operators: operators}
		f = catalogue.Figures(record, s)
		return nil
	})
	return f, s, err
}

// midnights returns those between two instants on the site's clock.
func (v *view) midnights(from, to measure.Instant) (list []measure.Instant) {
	for day := measure.DateOf(from, v.zone); ; day = day.AddDays(1) {
		end := day.End(v.zone)
		if end >= to {
			return list
		}
		if end > from {
			list = append(list, end)
		}
	}
}
