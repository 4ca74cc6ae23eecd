package timeline

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// Outcome is what one line came to.
type Outcome struct {
	Line    int
	Subject map[string]string // what the line names: "bundle", "slip" ..., or "do" for a refused fact
	Wanted  map[string]string // by field
	Actual  map[string]string // every field that the line could ask for
	Wrong   []string          // fields that differ
}

// Held reports whether everything came out as wanted.
func (o Outcome) Held() bool { return len(o.Wrong) == 0 }

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
// its expectations came to. The error is a *LineError for a line that cannot
// be replayed at all.
func Replay(ctx context.Context, d *db.DB, f *File) (Result, error) {
	r, err := begin(ctx, d, f)
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

// begin sets up a site with the header's rule set, all of whose rows count as
// confirmed: a replay is not real work.
func begin(ctx context.Context, d *db.DB, f *File) (*replay, error) {
	h := f.Header
	zone, err := time.LoadLocation(h.Zone)
	if err != nil {
		return nil, &LineError{1, fmt.Sprintf("header: unknown zone %q", h.Zone)}
	}
	set, err := rules.Shipped(h.Rules)
	if err != nil {
		return nil, &LineError{1, "header: " + hint(err)}
	}
	if _, err := set.With(h.settings()); err != nil {
		return nil, &LineError{1, "header: " + hint(err)}
	}
	site := h.Site
	if site == "" {
		site = "replay"
	}
	r := &replay{ctx: ctx, zone: zone}
	r.app = &app.App{DB: d, Site: site, Via: "replay", Sets: h.settings(), Now: func() time.Time { return r.noted.Time() }}
	var confirmed []string
	for _, m := range set.Unconfirmed() {
		confirmed = append(confirmed, m.Row)
	}
	const start = measure.Instant(0) // before anything that a timeline can hold
	for _, e := range []inventory.Entry{
		&inventory.SiteSet{Zone: h.Zone, Units: h.Units},
		&inventory.RulesApproved{ID: set.ID, Text: set.Text, Confirmed: confirmed},
		&inventory.RulesUsed{Rules: set.ID},
	} {
		if _, err := r.app.Record(ctx, app.Request{At: start + 1, Noted: start + 1, By: by, Entry: e}); err != nil {
			return nil, &LineError{1, "header: " + hint(err)}
		}
	}
	return r, nil
}

// hint is an error with its next step.
func hint(err error) string {
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		return ref.Error() + "; " + ref.Next
	}
	return err.Error()
}

func (r *replay) line(l Line) error {
	if l.Head.Do == "expect" {
		return r.expect(l)
	}
	err := r.fact(l)
	ref, refused := errors.AsType[*inventory.Refusal](err)
	switch {
	case l.Head.Refused != "":
		return r.refusal(l, ref, err)
	case refused:
		return &LineError{l.Number, fmt.Sprintf("%s: %s", l.Head.Do, hint(err))}
	}
	return err
}

// refusal notes whether a line was refused as it had to be.
func (r *replay) refusal(l Line, ref *inventory.Refusal, err error) error {
	actual := "recorded"
	switch {
	case ref != nil:
		actual = string(ref.Code)
	case err != nil:
		return err
	}
	o := Outcome{Line: l.Number, Subject: map[string]string{"do": l.Head.Do}, Wanted: map[string]string{"refused": l.Head.Refused},
		Actual: map[string]string{"refused": actual}}
	if ref != nil {
		o.Actual["why"], o.Actual["next"] = ref.Why, ref.Next
	}
	r.note(o)
	return nil
}

// note compares what was wanted with what came out.
func (r *replay) note(o Outcome) {
	for _, name := range fieldOrder {
		want, ok := o.Wanted[name]
		if ok && o.Actual[name] != want {
			o.Wrong = append(o.Wrong, name)
		}
	}
	if o.Held() {
		r.out.Held++
	} else {
		r.out.Failed++
	}
	r.out.Outcomes = append(r.out.Outcomes, o)
}

// times reads when a line happened and when it was entered: the latter is the
// line's own, or when it happened, or the line's before if that is later.
func (r *replay) times(l Line) (at, noted measure.Instant, err error) {
	at = r.noted
	if l.Head.At != "" {
		if at, err = app.ParseInstant(l.Head.At, r.zone); err != nil {
			return 0, 0, err
		}
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
	case "correct":
		return r.correct(l, who, at, noted)
	}
	e, err := decode(l)
	if err != nil {
		return err
	}
	_, err = r.app.Record(r.ctx, app.Request{ID: factID(l.Head.ID), At: at, Noted: noted, By: who, Entry: e})
	return err
}

// factID returns the ledger's id for a name that a timeline gives a fact.
func factID(name string) string {
	if name == "" {
		return ""
	}
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte("ovenward timeline "+name)).String()
}

// decode reads a line into the entry of its verb; unknown fields are errors.
func decode(l Line) (inventory.Entry, error) {
	e, err := inventory.NewEntry(l.Head.Do)
	if err != nil {
		return nil, err
	}
	body, err := json.Marshal(l.Body)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(e); err != nil {
		if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
			return nil, ref
		}
		return nil, &LineError{l.Number, plain(err)}
	}
	return e, nil
}
