package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/peopledb"
)

// Handling is what a person does to an alarm.
type Handling struct {
	Tag    alarm.Tag
	Event  alarm.Event
	By     string
	Second string // who agreed, where the catalogue asks for a second person
	Why    string
	For    measure.Duration // on the shelf
	Once   bool             // the shelf ends when the condition ceases
}

// Handle acknowledges, shelves, takes out of service or brings back an alarm. The
// error is a *inventory.Refusal where that is not allowed, and nothing is written.
func (a *App) Handle(ctx context.Context, h Handling) (after alarmdb.Status, err error) {
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		v, err := a.view(ctx, tx, a.now())
		if err != nil {
			return err
		}
		after, err = v.handle(h)
		return err
	})
	return after, err
}

// reasoned asks for a reason; who only says to have seen an alarm needs none.
func (h *Handling) reasoned() error {
	switch {
	case h.Why != "":
		return nil
	case h.Event == alarm.Ack:
		h.Why = "seen"
		return nil
	}
	return &inventory.Refusal{Code: inventory.Unknown, Subject: "why", Why: fmt.Sprintf("no reason is given to %s the alarm", h.Event), Next: "say why"}
}

func (v *view) handle(h Handling) (alarmdb.Status, error) {
	if h.By == "" {
		return alarmdb.Status{}, nobody()
	}
	if err := h.reasoned(); err != nil {
		return alarmdb.Status{}, err
	}
	last, ever, err := alarmdb.Last(v.ctx, v.tx, v.site, h.Tag)
	if err != nil {
		return alarmdb.Status{}, err
	}
	now, err := alarmdb.StatusOf(v.ctx, v.tx, v.site, h.Tag)
	if err != nil {
		return now, err
	}
	if !ever && now.State == alarm.Normal && h.Event != alarm.Remove {
		return now, &inventory.Refusal{Code: inventory.Unknown, Subject: h.Tag.Subject, Value: string(h.Tag.Kind),
			Why: fmt.Sprintf("no %s alarm was ever raised for %s", h.Tag.Kind, h.Tag.Subject), Next: "see ovenward alert list"}
	}
	if err := v.mayHandle(h); err != nil {
		return now, err
	}
	step := alarmdb.Step{Tag: h.Tag, Event: h.Event, At: v.at, By: h.By, Why: h.Why}
	if h.Event == alarm.Shelve {
		step.Shelf = alarm.Shelf{Until: v.at.Add(h.For), Once: h.Once, Priority: last.Priority}
		if err := v.mayShelve(h, step.Shelf, last); err != nil {
			return now, err
		}
	}
	if h.Second != "" {
		step.Why += " (agreed by " + h.Second + ")"
	}
	after, err := alarmdb.Advance(v.ctx, v.tx, v.site, step)
	return after, v.notPossible(now, err)
}

// notPossible says who brought the alarm into the state in which it cannot be
// done.
func (v *view) notPossible(now alarmdb.Status, err error) error {
	e, ok := errors.AsType[*alarm.NotPossibleError](err)
	if !ok {
		return err
	}
	why := e.Error()
	if now.By != "" {
		why = fmt.Sprintf("it is %s since %s, by %s (%s)", now.State, now.Changed.Clock(v.zone, v.at), now.By, now.Why)
	}
	return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: fmt.Sprintf("%s of %s", now.Kind, now.Subject),
		Value: string(e.Event), Limit: string(now.State), Why: why, Next: "see ovenward alert list"}
}

// mayHandle asks for QA where an alarm leaves or comes back into service, once
// people are set up.
func (v *view) mayHandle(h Handling) error {
	if h.Event != alarm.Remove && h.Event != alarm.Restore {
		return nil
	}
	crew, err := v.crew(v.at, h.By)
	if err != nil {
		return err
	}
	return crew.Require([]inventory.Role{inventory.QA}, h.By, "take an alarm out of service or put it back")
}

// mayShelve holds a shelf against the catalogue and against the limit of rods.
func (v *view) mayShelve(h Handling, s alarm.Shelf, last alarmdb.Alarm) error {
	due := measure.Instant(0)
	if last.Stands() {
		due = last.Due
	}
	catalogue, err := alarmdb.Catalogue(v.ctx, v.tx, v.site)
	if err != nil {
		return err
	}
	entry := catalogue.Of(h.Tag.Kind)
	if e, ok := errors.AsType[*alarm.ShelfError](entry.Check(v.at, s.Until, due)); ok {
		return &inventory.Refusal{Code: inventory.NotAuthorised, Subject: fmt.Sprintf("%s of %s", h.Tag.Kind, h.Tag.Subject),
			Value: h.For.Words(), Limit: e.Limit, Why: e.Why, Rule: "alarm catalogue, " + string(h.Tag.Kind), Source: entry.Source,
			Next: "acknowledge it instead and see to it: " + cmp.Or(last.Action, "ovenward alert list")}
	}
	if !entry.Second {
		return nil
	}
	return v.second(h, entry)
}

// second asks for another person who agrees with the shelf.
func (v *view) second(h Handling, entry alarm.Entry) error {
	ref := &inventory.Refusal{Code: inventory.SamePerson, Subject: fmt.Sprintf("%s of %s", h.Tag.Kind, h.Tag.Subject), Value: h.Second,
		Limit: "two people", Why: "this alarm is shelved by two people", Rule: "alarm catalogue, " + string(h.Tag.Kind), Source: entry.Source,
		Next: "let someone else agree: --second BADGE"}
	if h.Second == "" || h.Second == h.By {
		return ref
	}
	crew, err := v.crew(v.at, h.Second)
	if err != nil || !crew.SetUp() {
		return err
	}
	known, err := peopledb.Of(v.ctx, v.tx, v.site, h.Second)
	if err != nil || len(known) > 0 {
		return err
	}
	ref.Code, ref.Why = inventory.Unknown, "there is no badge "+h.Second+" at this site"
	return ref
}

// AlarmStates returns the state of every tag that is not normal.
func (a *App) AlarmStates(ctx context.Context) (list []alarmdb.Status, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		list, err = alarmdb.NotNormal(ctx, tx, a.Site)
		return err
	})
	return list, err
}

// AlarmHistory returns the transitions of alarms from one instant up to another;
// a tag without a kind or a subject is any.
func (a *App) AlarmHistory(ctx context.Context, t alarm.Tag, from, to measure.Instant) (list []alarmdb.Transition, err error) {
	err = a.DB.Read(ctx, func(tx *sqlx.Tx) error {
		list, err = alarmdb.History(ctx, tx, a.Site, t, from, to)
		return err
	})
	return list, err
}
