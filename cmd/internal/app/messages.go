package app

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/alerts/channel"
	"ovenward/inventory/measure"
)

// mostTold is how many transitions are looked at for one message.
const mostTold = 2000

// Tell sends a channel what happened to alarms and it was not told yet, in order,
// as one message. How far it is told is kept, so that a restart neither loses nor
// repeats: what was on its way when the program was killed is told again under
// the same key, by which the receiver knows it. While one program tells a channel
// no other does. What fails is tried again later and longer each time; what is
// refused for good is passed over and noted with each alarm. The error is why.
func (a *App) Tell(ctx context.Context, r channel.Route, to channel.Sender) (sent bool, err error) {
	holder := uuid.NewString()
	m, told, err := a.outgoing(ctx, r, holder)
	if err != nil || len(m.Items) == 0 {
		return false, err
	}
	failed := send(ctx, to, m, a.now())
	_, refused := errors.AsType[*channel.Refused](failed)
	switch {
	case failed == nil:
		told = alarmdb.Told{Channel: r.Name, Seq: told.Upto}
	case refused:
		told = alarmdb.Told{Channel: r.Name, Seq: told.Upto, Problem: failed.Error()}
	case ctx.Err() == nil: // that we are being stopped is no fault of the receiver
		told.Attempts++
		told.Next, told.Problem = a.now().Add(channel.Backoff(told.Attempts)), failed.Error()
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), settleWithin)
	defer cancel()
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		kept, err := alarmdb.Settle(ctx, tx, a.Site, told, holder)
		if err == nil && kept && refused {
			err = a.noteRefused(ctx, tx, r, m, failed)
		}
		return err
	})
	if err == nil && failed != nil {
		err = fmt.Errorf("channel %s: %w", r.Name, failed)
	}
	return failed == nil, err
}

// Times of telling one channel: together less than a claim lasts.
const (
	tellWithin   = 40 * time.Second
	settleWithin = 10 * time.Second
)

func send(ctx context.Context, to channel.Sender, m channel.Message, at measure.Instant) error {
	ctx, cancel := context.WithTimeout(ctx, tellWithin)
	defer cancel()
	return to.Send(ctx, m, at)
}

// noteRefused notes with each alarm of a message that a channel did not take it.
func (a *App) noteRefused(ctx context.Context, tx *sqlx.Tx, r channel.Route, m channel.Message, why error) error {
	if err := alarmdb.Hold(ctx, tx, a.Site); err != nil {
		return err
	}
	for _, i := range m.Items {
		t := alarm.Tag{Kind: alarm.Kind(i.Kind), Subject: i.Subject}
		now, err := alarmdb.StatusOf(ctx, tx, a.Site, t)
		if err != nil {
			return err
		}
		if err := alarmdb.Note(ctx, tx, a.Site, alarmdb.Step{Tag: t, Since: i.Since, Event: alarm.Event("not told to " + r.Name),
			At: a.now(), By: watchman, Why: why.Error()}, now.State); err != nil {
			return err
		}
	}
	return nil
}

// outgoing fixes what is to be told next, so that it is the same if it must be
// told again. There is nothing before its time and in quiet hours.
func (a *App) outgoing(ctx context.Context, r channel.Route, holder string) (m channel.Message, told alarmdb.Told, err error) {
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		m = channel.Message{}
		v, err := a.view(ctx, tx, a.now())
		if err != nil {
			return err
		}
		if told, err = alarmdb.ToldBy(ctx, tx, a.Site, r.Name); err != nil || told.Waits(v.at) {
			return err
		}
		items, upto, err := v.untold(r, told)
		if err != nil || upto == told.Seq {
			return err
		}
		m = channel.Message{Site: a.Site, Key: fmt.Sprintf("%s-%s-%d", a.Site, r.Name, upto), Text: channel.Headline(a.Site, items), Items: items, Zone: v.zone}
		if len(items) > 0 && told.Upto == 0 && r.Waits(v.at, v.zone) && m.Urgent() != alarm.High {
			m = channel.Message{}
			return nil
		}
		mine, err := alarmdb.ClaimChannel(ctx, tx, a.Site, told, holder, v.at)
		if err != nil || !mine {
			m = channel.Message{}
			return err
		}
		told.Upto = upto
		if len(items) == 0 {
			_, err = alarmdb.Settle(ctx, tx, a.Site, alarmdb.Told{Channel: r.Name, Seq: upto, Problem: told.Problem}, holder)
			return err
		}
		_, err = alarmdb.SetTold(ctx, tx, a.Site, told)
		return err
	})
	return m, told, err
}

// untold returns what a route wants to be told of and how far that goes.
func (v *view) untold(r channel.Route, told alarmdb.Told) (items []channel.Item, upto int64, err error) {
	list, err := alarmdb.Since(v.ctx, v.tx, v.site, told.Seq, mostTold)
	upto = told.Seq
	for _, t := range list {
		if err != nil || (told.Upto != 0 && t.Seq > told.Upto) {
			break
		}
		upto = t.Seq
		var one alarmdb.Alarm
		var ever bool
		if one, ever, err = v.about(t); err != nil || !ever {
			continue
		}
		if r.Wants(t.Event, t.To, one.Priority, t.At, v.zone) {
			items = append(items, item(t, one, v.at))
		}
	}
	return items, upto, err
}

// about returns the alarm that a transition is about.
func (v *view) about(t alarmdb.Transition) (alarmdb.Alarm, bool, error) {
	if t.Since != 0 {
		return alarmdb.One(v.ctx, v.tx, v.site, alarm.Key{Kind: t.Kind, Subject: t.Subject, Since: t.Since})
	}
	return alarmdb.Last(v.ctx, v.tx, v.site, alarm.Tag{Kind: t.Kind, Subject: t.Subject})
}

func item(t alarmdb.Transition, a alarmdb.Alarm, now measure.Instant) channel.Item {
	i := channel.Item{Seq: t.Seq, Event: string(t.Event), Kind: string(t.Kind), Subject: t.Subject, Priority: string(a.Priority),
		Since: a.Since, At: t.At, Late: a.Late, What: a.What, Consequence: a.Consequence, Action: a.Action, Due: a.Due, Why: t.Why}
	if a.Cleared != nil && !a.Passing() {
		i.Over = *a.Cleared
	}
	if a.Stands() && a.Due > now {
		i.Left = a.Due.Sub(now).String()
	}
	return i
}

// Escalate notes which alarms nobody acknowledged for as long as each route gives,
// so that its channel is told: once for each time that an alarm calls.
func (a *App) Escalate(ctx context.Context, routes []channel.Route) error {
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		v, err := a.view(ctx, tx, a.now())
		if err != nil {
			return err
		}
		if err := alarmdb.Hold(ctx, tx, a.Site); err != nil {
			return err
		}
		states, err := alarmdb.NotNormal(ctx, tx, a.Site)
		if err != nil {
			return err
		}
		for _, r := range routes {
			for _, s := range states {
				if r.After == 0 || s.State != alarm.Unacknowledged || s.Changed.Add(r.After) > v.at {
					continue
				}
				if err := v.escalate(r, s); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

func (v *view) escalate(r channel.Route, s alarmdb.Status) error {
	done, err := alarmdb.Happened(v.ctx, v.tx, v.site, s.Tag(), r.Escalated(), s.Changed)
	if err != nil || done {
		return err
	}
	return alarmdb.Note(v.ctx, v.tx, v.site, alarmdb.Step{Tag: s.Tag(), Event: r.Escalated(), At: v.at, By: watchman,
		Why: fmt.Sprintf("nobody acknowledged it for %s", r.After.Words())}, s.State)
}

// Joined makes sure that a channel is known, from when on it is told.
func (a *App) Joined(ctx context.Context, name string) error {
	return a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		_, err := alarmdb.ToldBy(ctx, tx, a.Site, name)
		return err
	})
}
