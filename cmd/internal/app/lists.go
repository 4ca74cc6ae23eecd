package app

import (
	"context"
	"fmt"

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
	m := channel.Message{Site: a.Site, Key: fmt.Sprintf("%s-%s-list-%d", a.Site, r.Name, o.Seq), Text: a.Site + ": " + o.Head,
		Body: o.Body, Items: []channel.Item{}}
	failed := to.Send(ctx, m, a.now())
	err := a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		if failed == nil {
			return alarmdb.Arrived(ctx, tx, a.Site, o.Seq, r.Name, a.now())
		}
		o.Attempts++
		o.Next, o.Problem = a.now().Add(channel.Backoff(o.Attempts)), failed.Error()
		return alarmdb.NotArrived(ctx, tx, a.Site, r.Name, o)
	})
	if err == nil && failed != nil {
		err = fmt.Errorf("channel %s, list %s: %w", r.Name, o.Name, failed)
	}
	return err
}
