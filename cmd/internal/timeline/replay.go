package timeline

import (
	"context"
	"errors"
	"time"

	"github.com/google/uuid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// Result is what a timeline came to.
type Result struct {
	Outcomes     []Outcome
	Held, Failed int
}

// replay is a timeline under way.
type replay struct {
	ctx   context.Context
	app   *app.App
	zone  *time.Location
	noted measure.Instant // of the line before
	out   Result
}

// Replay runs a timeline on a database that holds nothing else and returns what
// its expectations came to. A fact that is refused unexpectedly is one of them,
// failed. The error is a *LineError for a line that cannot be replayed at all.
func Replay(ctx context.Context, d *db.DB, f *File) (Result, error) {
	r, err := begin(ctx, d, f.Header)
	if err != nil {
		return Result{}, err
	}
	for _, l := range f.Lines {
		if err := r.line(l); err != nil {
			if _, ok := errors.AsType[*LineError](err); !ok {
				err = &LineError{l.Number, err.Error()}
			}
			return r.out, err
		}
	}
	return r.out, nil
}

// by is who records lines that name nobody.
const by = "replay"

// before is when what was there before everything came to be.
const before measure.Instant = 1

// begin sets up a site with the header's rule set, all of whose rows count as
// confirmed: a replay is not real work.
func begin(ctx context.Context, d *db.DB, h Header) (*replay, error) {
	zone, err := h.zone()
	if err != nil {
		return nil, &LineError{1, "header: " + err.Error()}
	}
	set, err := h.ruleSet()
	if err != nil {
		return nil, &LineError{1, "header: " + hint(err)}
	}
	site := h.Site
	if site == "" {
		site = "replay"
	}
	r := &replay{ctx: ctx, zone: zone, noted: before}
	now := func() time.Time { return r.noted.Time() }
	r.app = &app.App{DB: d, Site: site, Via: "replay", Sets: h.Settings(), Now: now}
	var confirmed []string
	for _, m := range set.Unconfirmed() {
		confirmed = append(confirmed, m.Row)
	}
	for _, e := range []inventory.Entry{
		&inventory.SiteSet{Zone: h.Zone, Units: h.Units},
		&inventory.RulesApproved{ID: set.ID, Text: set.Text, Confirmed: confirmed},
		&inventory.RulesUsed{Rules: set.ID},
	} {
		if _, err := r.app.Record(ctx, app.Request{At: before, Noted: before, By: by, Entry: e}); err != nil {
			return nil, &LineError{1, "header: " + hint(err)}
		}
	}
	return r, nil
}

func (r *replay) line(l Line) error {
	if l.Head.Do == "expect" {
		return r.expect(l)
	}
	err := r.fact(l)
	ref, refused := errors.AsType[*inventory.Refusal](err)
	switch {
	case err != nil && !refused:
		return err
	case refused || l.Head.Refused != "":
		r.note(l.refusal(ref, map[string]string{"do": l.Head.Do}))
	}
	return nil
}

// times reads when a line happened and when it was entered: the latter is the
// line's own, or when it happened, or the line's before if that is later.
func (r *replay) times(l Line) (at, noted measure.Instant, err error) {
	switch {
	case l.Head.At != "":
		at, err = app.ParseInstant(l.Head.At, r.zone)
	case l.Head.Do == "expect":
		at = r.noted
	default:
		at = before
	}
	if err != nil {
		return 0, 0, err
	}
	noted = max(at, r.noted)
	if l.Head.Noted != "" {
		noted, err = app.ParseInstant(l.Head.Noted, r.zone)
	}
	return at, noted, err
}

// fact records a line.
func (r *replay) fact(l Line) error {
	at, noted, err := r.times(l)
	if err != nil {
		return err
	}
	r.noted = max(r.noted, noted)
	who := l.Head.By
	if who == "" {
		who = by
	}
	switch l.Head.Do {
	case "reading":
		return r.reading(l, who, at)
	case "readings":
		return r.readings(l, who, at)
	case "calibrate":
		return r.calibrate(l, who, at, noted)
	case "check":
		return r.check(l, who, at, noted)
	case "correct":
		return r.correct(l, who, at, noted)
	}
	e, err := l.entry()
	if err != nil {
		return err
	}
	return r.record(l, who, at, noted, e)
}

func (r *replay) record(l Line, who string, at, noted measure.Instant, e inventory.Entry) error {
	_, err := r.app.Record(r.ctx, app.Request{ID: factID(l.Head.ID), At: at, Noted: noted, By: who, Entry: e})
	return err
}

// factID returns the ledger's id for a name that a timeline gives a fact.
func factID(name string) string {
	if name == "" {
		return ""
	}
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte("ovenward timeline "+name)).String()
}
