package app

import (
	"context"

	"ovenward/alerts/alarmdb"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/ovendb"
)

// SlipsIn returns the slips that went out or were closed from one instant up to
// another, the latter left out, in the order in which they went out.
func (a *App) SlipsIn(ctx context.Context, from, to measure.Instant) (list []inventory.Slip, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = stockdb.SlipsIn(ctx, v.tx, v.site, from, to)
		return err
	})
	return list, err
}

// LossesIn returns what was scrapped or found missing from one instant up to
// another, the latter left out, in order.
func (a *App) LossesIn(ctx context.Context, from, to measure.Instant) (list []stockdb.Loss, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = stockdb.LossesIn(ctx, v.tx, v.site, from, to)
		return err
	})
	return list, err
}

// Lot returns a lot. The error is a *inventory.Refusal where there is none.
func (a *App) Lot(ctx context.Context, code string) (l inventory.Lot, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		l, err = v.lot(code)
		return err
	})
	return l, err
}

// Live returns every bundle that is not used up, in the crib and out on slips,
// as things stand now.
func (a *App) Live(ctx context.Context) (list []inventory.Bundle, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = stockdb.Live(ctx, v.tx, v.site)
		return err
	})
	return list, err
}

// Bundle returns a bundle as it is now.
func (a *App) Bundle(ctx context.Context, code string) (b inventory.Bundle, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		b, err = v.bundle(code)
		return err
	})
	return b, err
}

// Places returns the places that the site set up, in the order of their names.
func (a *App) Places(ctx context.Context) (list []inventory.Place, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = ovendb.Places(ctx, v.tx, v.site)
		return err
	})
	return list, err
}

// Heated returns the stays in heated places that began by one instant and did
// not end before another, in order.
func (a *App) Heated(ctx context.Context, from, to measure.Instant) (list []stockdb.Content, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = stockdb.Heated(ctx, v.tx, v.site, from, to)
		return err
	})
	return list, err
}

// AlarmsIn returns the recorded alarms that stood at any time from one instant
// up to another, oldest first.
func (a *App) AlarmsIn(ctx context.Context, from, to measure.Instant) (list []alarmdb.Alarm, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = alarmdb.In(ctx, v.kept(), v.site, from, to)
		for i, one := range list {
			if until := a.again.until; until != 0 && one.Cleared != nil && *one.Cleared >= until {
				list[i].Cleared, list[i].Noted = nil, nil // it stood then
			}
		}
		return err
	})
	return list, err
}

// RemarksIn returns what was seen of stock from one instant up to another, the
// latter left out, oldest first.
func (a *App) RemarksIn(ctx context.Context, from, to measure.Instant) (list []stockdb.Remark, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = stockdb.Remarks(ctx, v.tx, v.site, from, to)
		return err
	})
	return list, err
}

// RemarksOf returns what was seen of a lot's stock, oldest first.
func (a *App) RemarksOf(ctx context.Context, lot string) (list []stockdb.Remark, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = stockdb.RemarksOfLot(ctx, v.tx, v.site, lot)
		return err
	})
	return list, err
}

// Proposal returns a proposal by its code. The error wraps db.ErrNotFound.
func (a *App) Proposal(ctx context.Context, code string) (p stockdb.Proposal, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		p, err = stockdb.FindProposal(ctx, v.tx, v.site, code)
		return err
	})
	return p, err
}

// ProposalsWaiting returns the proposals that nobody has decided, oldest first.
func (a *App) ProposalsWaiting(ctx context.Context) (list []stockdb.Proposal, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = stockdb.Waiting(ctx, v.tx, v.site)
		return err
	})
	return list, err
}
