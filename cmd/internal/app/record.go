package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/moisture"
)

// Request is a fact that someone asks to record.
type Request struct {
	ID     string          // idempotency key; made here when left out
	At     measure.Instant // when it happened; zero: now
	Noted  measure.Instant // when it is entered; zero: now. Only a replay sets it
	By     string
	Entry  inventory.Entry
	DryRun bool // say what would happen and write nothing
	Paper  bool // it happened and stands on paper: what a rule would have refused is flagged, and alike entries are two
}

// Done is a fact as it was recorded.
type Done struct {
	Fact     ledger.Fact
	Entry    inventory.Entry
	Repeat   bool // recorded before, under this id or by a second scan; nothing was written
	Warnings []string
	Advice   *moisture.Advice // on rods that came back, where the rule set asks for it
}

// errDryRun takes a transaction back after everything was tried.
var errDryRun = errors.New("dry run")

// Record records a fact with what it changes, in one transaction, or refuses
// it with a *inventory.Refusal and writes nothing. An id that was recorded
// before returns the first outcome.
func (a *App) Record(ctx context.Context, r Request) (Done, error) {
	all, err := a.RecordAll(ctx, r, []inventory.Entry{r.Entry})
	if err != nil {
		return Done{}, err
	}
	return all[0], nil
}

// RecordAll records facts that belong together, all of them or none. The id of
// the request is that of the first; those of the others follow from it, so that
// a request that is repeated finds them all. They happened together.
func (a *App) RecordAll(ctx context.Context, r Request, entries []inventory.Entry) ([]Done, error) {
	if strings.TrimSpace(r.By) == "" {
		return nil, nobody()
	}
	if r.ID == "" {
		id, err := uuid.NewV7()
		if err != nil {
			return nil, err
		}
		r.ID = id.String()
	}
	var all []Done
	err := a.write(ctx, func(tx *sqlx.Tx) (err error) {
		all, err = a.attempts(ctx, tx, r, entries)
		if err == nil && r.DryRun {
			err = errDryRun
		}
		return err
	})
	if err != nil && !errors.Is(err, errDryRun) {
		return nil, a.noteTurnedAway(ctx, r, err)
	}
	return all, nil
}

// nobody is the refusal of a fact without a name.
func nobody() error {
	return &inventory.Refusal{Code: inventory.NotAuthorised, Subject: "by", Why: "nobody is named as the one who records this",
		Next: "give --by with your badge or name, or set OVENWARD_BY at this terminal"}
}

// write runs a transaction that records facts under ids of their own. One whose
// answer got lost is asked for again: what was stored is found by its id.
func (a *App) write(ctx context.Context, fn func(tx *sqlx.Tx) error) error {
	if a.again != (supposing{}) {
		return errors.New("what is judged again is a question: nothing is recorded by it")
	}
	err := a.DB.Write(ctx, fn)
	if !errors.Is(err, db.ErrOutcomeUnknown) {
		return err
	}
	if again := a.DB.Write(ctx, fn); !errors.Is(again, db.ErrUnreachable) {
		return again
	}
	return err
}

func (a *App) attempts(ctx context.Context, tx *sqlx.Tx, r Request, entries []inventory.Entry) ([]Done, error) {
	parts := len(entries)
	all := make([]Done, 0, parts)
	for i, e := range entries {
		r.Entry = e
		if i > 0 {
			r.At = all[0].Fact.At
			r.ID = following(all[0].Fact.ID, i)
		}
		done, err := a.attempt(ctx, tx, r, parts)
		if err != nil {
			return nil, err
		}
		parts = 0
		all = append(all, done)
		if done.Repeat != all[0].Repeat {
			return nil, &inventory.Refusal{Code: inventory.Duplicate, Subject: all[0].Fact.ID, Value: fmt.Sprint(len(entries)), Limit: fmt.Sprint(i),
				Why:  fmt.Sprintf("it was recorded with %d parts at %s", i, all[0].Fact.Noted),
				Next: "look at what was recorded with: ovenward ledger list; then enter what is missing"}
		}
	}
	return all, nil
}

// attempt records one fact in a transaction that may run twice: what is asked
// for is copied, because deciding completes it. It is the first of as many parts
// as are recorded together, none for the later ones.
func (a *App) attempt(ctx context.Context, tx *sqlx.Tx, r Request, parts int) (Done, error) {
	asked, err := json.Marshal(r.Entry)
	if err != nil {
		return Done{}, err
	}
	if r.Entry, err = inventory.DecodeEntry(r.Entry.Kind(), string(asked)); err != nil {
		return Done{}, err
	}
	return a.record(ctx, tx, r, parts)
}

func (a *App) record(ctx context.Context, tx *sqlx.Tx, r Request, parts int) (Done, error) {
	head, noted, err := a.enter(ctx, tx, r.Noted)
	if err != nil {
		return Done{}, err
	}
	first, ok, err := a.recorded(ctx, tx, r.ID, func(f ledger.Fact) bool { return f.Kind == r.Entry.Kind() })
	if ok || err != nil {
		return first, err
	}
	if r.At == 0 {
		r.At = noted
	}
	if err := notFuture(ctx, a, tx, r.At, noted); err != nil {
		return Done{}, err
	}
	v, err := a.view(ctx, tx, r.At)
	if err != nil {
		return Done{}, err
	}
	d := &desk{view: v, head: head, id: r.ID, by: r.By, noted: noted, happened: r.Paper, paper: r.Paper}
	if err := d.shelved(r.Entry); err != nil {
		return Done{}, err
	}
	if err := d.named(r.Entry); err != nil {
		return Done{}, err
	}
	if again, ok, err := d.scannedTwice(r, parts); ok || err != nil {
		return again, err
	}
	if err := d.authorised(r.Entry); err != nil {
		return Done{}, err
	}
	later, err := d.makeRoom(&r)
	if err != nil {
		return Done{}, err
	}
	if err := d.decide(r.Entry); err != nil {
		return Done{}, err
	}
	if err := d.stoodIn(r.Entry); err != nil {
		return Done{}, err
	}
	d.needed()
	f, err := d.write(r)
	if err != nil {
		return Done{}, err
	}
	return Done{Fact: f, Entry: r.Entry, Warnings: d.warnings, Advice: d.advice}, d.again(later, r.At, r.Entry)
}

// write appends a fact and applies it.
func (d *desk) write(r Request) (ledger.Fact, error) {
	f, err := d.append(r, "", "")
	if err != nil {
		return f, err
	}
	return f, d.apply(f, r.Entry)
}

// append adds a fact to the ledger.
func (d *desk) append(r Request, supersedes, reason string) (ledger.Fact, error) {
	body, err := json.Marshal(r.Entry)
	if err != nil {
		return ledger.Fact{}, err
	}
	f, err := ledgerdb.Append(d.ctx, d.tx, d.head, ledger.Draft{ID: r.ID, Kind: r.Entry.Kind(), At: r.At, Noted: d.noted,
		By: r.By, Via: d.app.Via, Body: string(body), Supersedes: supersedes, Reason: reason})
	if err != nil {
		return f, err
	}
	d.head = f.Head()
	if late, ok := f.Late(); ok {
		d.warn("entered %s after it happened: marked late", late.Words())
	}
	return f, nil
}

// enter locks the site's ledger and returns its end, and the instant at which
// an entry is noted: as given, or now where that is zero, and never before the
// entry at the end.
func (a *App) enter(ctx context.Context, tx *sqlx.Tx, given measure.Instant) (ledger.Head, measure.Instant, error) {
	head, err := ledgerdb.Lock(ctx, tx, a.Site)
	if given == 0 {
		given = a.now()
	}
	return head, max(given, head.Noted), err
}

// recorded returns the first outcome of an id. An id of a fact that is not like
// what is asked for now is refused.
func (a *App) recorded(ctx context.Context, tx *sqlx.Tx, id string, alike func(ledger.Fact) bool) (Done, bool, error) {
	f, err := ledgerdb.ByID(ctx, tx, a.Site, id)
	if errors.Is(err, db.ErrNotFound) {
		return Done{}, false, nil
	}
	if err != nil {
		return Done{}, false, err
	}
	if !alike(f) {
		return Done{}, false, &inventory.Refusal{Code: inventory.Duplicate, Subject: id, Value: id,
			Why: fmt.Sprintf("the id belongs to a fact of kind %s", f.Kind), Next: "use a new id for a new fact"}
	}
	e, err := inventory.DecodeEntry(f.Kind, f.Body)
	return Done{Fact: f, Entry: e, Repeat: true}, true, err
}

func notFuture(ctx context.Context, a *App, tx *sqlx.Tx, at, noted measure.Instant) error {
	if at <= noted {
		return nil
	}
	v, err := a.view(ctx, tx, noted)
	if err != nil {
		return err
	}
	return &inventory.Refusal{Code: inventory.Future, Subject: "time", Value: at.In(v.zone), Limit: noted.In(v.zone),
		Why:  fmt.Sprintf("it would happen at %s and the clock says %s", at.In(v.zone), noted.In(v.zone)),
		Next: "give the time at which it happened; check this machine's clock if that is it"}
}
