package app

import (
	"context"
	"fmt"
	"slices"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/alerts/channel"
)

// Post keeps a list that channels are to be told, once for each name and slot. It
// reports false where there is one already.
func (a *App) Post(ctx context.Context, l alarmdb.List, channels []string) (posted bool, err error) {
	l.Made = a.now()
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if err := alarmdb.Hold(ctx, tx, a.Site); err != nil {
			return err
		}
		posted, err = alarmdb.Post(ctx, tx, a.Site, l, channels)
		return err
	})
	return posted, err
}

// TellLists sends a channel the lists that it was not told yet, in order, each as
// a message whose key follows from the list, by which a receiver knows one that
// comes again after a crash. In the quiet hours of the channel they wait. What
// fails is tried again later and longer each time; the error is why.
func (a *App) TellLists(ctx context.Context, r channel.Route, to channel.Sender) (sent int, err error) {
	var owed []alarmdb.Owed
	err = a.read(ctx, 0, func(v *view) error {
		owed = nil
		if r.Waits(v.at, v.zone) {
			return nil
		}
		owed, err = alarmdb.OwedTo(ctx, v.tx, v.site, r.Name)
		return err
	})
	for _, o := range owed {
		if err != nil || o.Next > a.now() {
			return sent, err
		}
		if err = a.tellList(ctx, r, to, o); err == nil {
			sent++
		}
	}
	return sent, err
}

func (a *App) tellList(ctx context.Context, r channel.Route, to channel.Sender, o alarmdb.Owed) error {
	holder := uuid.NewString()
	told, mine, err := a.claimList(ctx, r, o, holder)
	if err != nil || !mine {
		return err
	}
	m := channel.Message{Site: a.Site, Key: fmt.Sprintf("%s-%s-list-%d", a.Site, r.Name, o.Seq), Text: a.Site + ": " + o.Head,
		Body: o.Body, Items: []channel.Item{}}
	failed := send(ctx, to, m, a.now())
	stopped := ctx.Err() != nil
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), settleWithin)
	defer cancel()
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if mine, err := alarmdb.Settle(ctx, tx, a.Site, told, holder); err != nil || !mine {
			return err
		}
		if failed == nil {
			return alarmdb.Arrived(ctx, tx, a.Site, o.Seq, r.Name, a.now())
		}
		if stopped { // no fault of the receiver
			return nil
		}
		tried := o
		tried.Attempts++
		tried.Next, tried.Problem = a.now().Add(channel.Backoff(tried.Attempts)), failed.Error()
		return alarmdb.NotArrived(ctx, tx, a.Site, r.Name, tried)
	})
	if err == nil && failed != nil {
		err = fmt.Errorf("channel %s, list %s: %w", r.Name, o.Name, failed)
	}
	return err
}

// claimList takes the channel for a list that is still owed to it.
func (a *App) claimList(ctx context.Context, r channel.Route, o alarmdb.Owed, holder string) (told alarmdb.Told, mine bool, err error) {
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		mine = false
		if told, err = alarmdb.ToldBy(ctx, tx, a.Site, r.Name); err != nil {
			return err
		}
		if mine, err = alarmdb.ClaimChannel(ctx, tx, a.Site, told, holder, a.now()); err != nil || !mine {
			return err
		}
		owed, err := alarmdb.OwedTo(ctx, tx, a.Site, r.Name)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(owed, func(have alarmdb.Owed) bool { return have.Seq == o.Seq }) {
			mine = false // told by another since we looked
			_, err = alarmdb.Settle(ctx, tx, a.Site, told, holder)
		}
		return err
	})
	return told, mine, err
}
