package app

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// Taken is what became of values that came in from a source.
type Taken struct {
	Good    int64 // readings of this site
	Added   int64 // of them, stored now
	Known   int64 // of them, there already
	Flagged []Flagged
	Ahead   measure.Duration // how far the source's clock is ahead of ours, as far as its times show
}

// Flagged is a value that is kept and proves nothing, with what is wrong with it.
type Flagged struct {
	Line    int64 // of what came in, counted from 1
	Sensor  string
	Place   string
	At      measure.Instant // zero where it cannot be told
	Quality feed.Quality
	Field   string
	Value   string // as it was written
	Limit   string
	Why     string
	Next    string
}

// Intake is values that came in together. What is no reading is flagged and kept.
type Intake struct {
	Source ovendb.Source
	Rows   []feed.Row
	Bad    []Flagged // what could not even be read

	// Also is done in the transaction that stores them; nil: nothing more.
	Also func(ctx context.Context, tx *sqlx.Tx, taken Taken) error
}

// Take stores what a source sent, in one transaction: readings of sensors of the
// site, or of places with one sensor, as oven read stores them, and what is none
// as flagged. What is there already is stepped over, so that everything may be
// sent twice. A place without a sensor gets one of its name.
func (a *App) Take(ctx context.Context, in Intake) (Taken, error) {
	t := taking{app: a, ctx: ctx, now: a.now(), source: in.Source, names: map[string]*probe{}}
	var err error
	if t.zone, err = a.Zone(ctx); err != nil {
		return Taken{}, err
	}
	bad, err := t.unreadable(in.Bad)
	if err != nil {
		return Taken{}, err
	}
	for _, r := range in.Rows {
		if err := t.row(r); err != nil {
			return Taken{}, err
		}
	}
	t.newest = max(t.newest, t.lastOf(in.Rows))
	var out Taken
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		out = Taken{Good: int64(len(t.list)), Ahead: t.ahead, Flagged: append(bad[:len(bad):len(bad)], t.bad...)}
		if err := t.store(tx, &out); err != nil {
			return err
		}
		if in.Also == nil {
			return nil
		}
		return in.Also(ctx, tx, out)
	})
	return out, err
}

// taking is values while they are taken.
type taking struct {
	app    *App
	ctx    context.Context
	now    measure.Instant
	zone   *time.Location
	source ovendb.Source
	names  map[string]*probe
	list   []ovendb.Reading
	lines  []int64 // of the list
	bad    []Flagged
	newest measure.Instant
	ahead  measure.Duration
}

// probe is a sensor that values are of, or why there is none.
type probe struct {
	sensor string
	place  inventory.Place
	isNew  bool // the place has no sensor yet
	bad    *inventory.Refusal
}

// unreadable adds to what could not be read whose it is.
func (t *taking) unreadable(list []Flagged) ([]Flagged, error) {
	list = slices.Clone(list)
	for i, f := range list {
		p, err := t.probe(f.Sensor)
		if err != nil {
			return nil, err
		}
		list[i].Sensor, list[i].Place = p.sensor, p.place.Name
	}
	return list, nil
}

func (t *taking) lastOf(rows []feed.Row) (newest measure.Instant) {
	for _, r := range rows {
		newest = max(newest, r.At)
	}
	if newest > t.now {
		t.ahead = newest.Sub(t.now)
	}
	return newest
}

// row takes a value as a reading or says why it is none.
func (t *taking) row(r feed.Row) error {
	p, err := t.probe(r.Sensor)
	if err != nil {
		return err
	}
	flag := func(q feed.Quality, field, limit, why, next string) {
		t.bad = append(t.bad, Flagged{Line: r.Line, Sensor: p.sensor, Place: p.place.Name, At: r.At, Quality: q, Field: field,
			Value: t.written(r.Temp), Limit: limit, Why: why, Next: next})
	}
	switch {
	case p.bad != nil:
		flag(feed.Unknown, "sensor", "", p.bad.Why, p.bad.Next)
	case r.At > t.now.Add(feed.ClockPlay):
		flag(feed.Future, "time", t.now.In(t.zone), r.At.In(t.zone)+" is "+r.At.Sub(t.now).Words()+" ahead of this machine's clock",
			"set the logger's clock, or this machine's; until then its readings prove nothing")
	case implausibleAt(p.place, r.Temp):
		ref, _ := errors.AsType[*inventory.Refusal](Plausible(p.place, r.Temp, t.written(r.Temp)))
		flag(feed.Implausible, "value", ref.Limit, ref.Why, "check the unit and the sensor; a true one is entered by itself with oven read --confirm")
	default:
		if err := t.setUp(p, r.At); err != nil {
			return err
		}
		if p.bad != nil {
			return t.row(r)
		}
		t.list = append(t.list, ovendb.Reading{Sensor: p.sensor, At: r.At, Temp: r.Temp})
		t.lines = append(t.lines, r.Line)
	}
	return nil
}

// setUp makes the sensor of a place that has none yet, at its first reading.
func (t *taking) setUp(p *probe, at measure.Instant) error {
	if !p.isNew {
		return nil
	}
	_, err := t.app.Sensor(t.ctx, watchman, p.sensor, min(at, t.now))
	if ref, refused := errors.AsType[*inventory.Refusal](err); refused {
		p.bad = ref
		return nil
	}
	p.isNew = false
	return err
}

// written prints a temperature in the unit of the source.
func (t *taking) written(temp measure.Temperature) string {
	if t.source.Unit == "F" {
		return temp.In(measure.US)
	}
	return temp.In(measure.SI)
}

// probe returns whose values a name means.
func (t *taking) probe(name string) (*probe, error) {
	if p, ok := t.names[name]; ok {
		return p, nil
	}
	p := &probe{sensor: name}
	t.names[name] = p
	if name == "" {
		p.bad = &inventory.Refusal{Code: inventory.Unknown, Subject: "sensor", Why: "no sensor and no place is named",
			Next: "let the logger say which, or name the place in the settings of the watch"}
		return p, nil
	}
	found, err := t.app.findSensor(t.ctx, name)
	if ref, refused := errors.AsType[*inventory.Refusal](err); refused {
		p.bad = ref
		return p, nil
	}
	if err != nil {
		return p, err
	}
	p.sensor, p.isNew = cmp.Or(found.Name, found.Place), found.Name == ""
	p.place, err = t.app.Place(t.ctx, found.Place)
	return p, err
}

// store writes what was taken.
func (t *taking) store(tx *sqlx.Tx, out *Taken) error {
	n, err := ovendb.SourceNumber(t.ctx, tx, t.app.Site, t.source)
	if err != nil {
		return err
	}
	if out.Added, err = ovendb.Add(t.ctx, tx, t.app.Site, ovendb.Arrival{Noted: t.now, Source: n}, t.list); err != nil {
		return err
	}
	out.Known = out.Good - out.Added
	if out.Known > 0 {
		if err := t.conflicts(tx, out); err != nil {
			return err
		}
	}
	if _, err := ovendb.Flag(t.ctx, tx, t.app.Site, n, t.kept(out.Flagged)); err != nil {
		return err
	}
	return ovendb.Hear(t.ctx, tx, t.app.Site, ovendb.Heard{Kind: t.source.Kind, Name: t.source.Name, At: t.now,
		Newest: t.newest, Ahead: t.ahead})
}

// conflicts flags what is stored with another value, which stays.
func (t *taking) conflicts(tx *sqlx.Tx, out *Taken) error {
	found, err := ovendb.Conflicts(t.ctx, tx, t.app.Site, t.list)
	if err != nil {
		return err
	}
	for _, c := range found {
		r := t.list[c.Index]
		out.Flagged = append(out.Flagged, Flagged{Line: t.lines[c.Index], Sensor: r.Sensor, Place: t.placeOf(r.Sensor), At: r.At,
			Quality: feed.Conflict, Field: "value", Value: t.written(r.Temp), Limit: t.written(c.Stored),
			Why:  "it was read at " + r.At.In(t.zone) + " as " + t.written(c.Stored) + " before, which stays",
			Next: "look which of the two is true; two probes need two names"})
	}
	out.Known -= int64(len(found))
	out.Good -= int64(len(found))
	return nil
}

func (t *taking) placeOf(sensor string) string {
	for _, p := range t.names {
		if p.sensor == sensor && p.bad == nil {
			return p.place.Name
		}
	}
	return ""
}

// kept is what is kept of the flagged values. One whose time cannot be told is
// kept by when it came in.
func (t *taking) kept(list []Flagged) []ovendb.Flagged {
	out := make([]ovendb.Flagged, len(list))
	for i, f := range list {
		out[i] = ovendb.Flagged{Sensor: f.Sensor, Place: f.Place, At: f.At, Quality: f.Quality, Value: f.Value, Why: f.Why, Noted: t.now}
		if f.At == 0 {
			out[i].At = t.now
		}
	}
	return out
}
