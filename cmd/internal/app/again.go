package app

import (
	"cmp"
	"context"
	"errors"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// Again says how what happened is judged anew.
type Again struct {
	Rules string          // by this rule set, approved here; empty: by the sets that judged it
	Set   *rules.Set      // by this one, which need not be approved: only a replay asks so; nil: as Rules says
	Known measure.Instant // with what was known by then; zero: with all that is known now
}

// supposing is how a program judges anew.
type supposing struct {
	Again
	made  *db.DB          // the facts that were known, with what follows from them; nil: those of the site
	facts *db.DB          // where the facts are, if made has only what follows from them; nil: with it
	until measure.Instant // what happened then or later is left out; zero: nothing is
}

// JudgeAgain runs fn with the program as one that only answers questions: every
// screen and report is as another rule set judges it, or as it was known then,
// when its clock stands. Facts are noted in the order of their numbers, so those
// that were known are the first so many; they are folded into a database of their
// own. A rule set that was not approved here refuses every question with a
// *inventory.Refusal.
func (a *App) JudgeAgain(ctx context.Context, g Again, fn func(then *App) error) (err error) {
	then := *a
	then.again = supposing{Again: g}
	if g.Known != 0 {
		if then.again.made, err = db.Scratch(ctx); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, then.again.made.Close()) }()
		if err := a.knowing(ctx, then.again); err != nil {
			return err
		}
		then.Now = func() time.Time { return g.Known.Time() }
	}
	return fn(&then)
}

// knowing fills in the database of what was known.
func (a *App) knowing(ctx context.Context, s supposing) error {
	return a.DB.Read(ctx, func(facts *sqlx.Tx) error {
		return s.made.Write(ctx, func(made *sqlx.Tx) error {
			if err := a.copyFacts(ctx, facts, made, s.Known); err != nil {
				return err
			}
			return a.fold(ctx, made, made)
		})
	})
}

// errLater ends the reading of a ledger at what was not known yet.
var errLater = errors.New("noted later")

// copyFacts copies what was noted by an instant.
func (a *App) copyFacts(ctx context.Context, from, into *sqlx.Tx, known measure.Instant) error {
	head, err := ledgerdb.Lock(ctx, into, a.Site)
	if err != nil {
		return err
	}
	const many = 500
	var batch []ledger.Fact
	flush := func() error {
		head, err = ledgerdb.InsertAll(ctx, into, head, batch)
		batch = batch[:0]
		return err
	}
	err = ledgerdb.Each(ctx, from, a.Site, 0, func(f ledger.Fact) error {
		if f.Noted > known {
			return errLater
		}
		if batch = append(batch, f); len(batch) < many {
			return nil
		}
		return flush()
	})
	if err != nil && !errors.Is(err, errLater) {
		return err
	}
	return flush()
}

// readAgain is read for a program that judges anew.
func (a *App) readAgain(ctx context.Context, at measure.Instant, fn func(v *view) error) error {
	return a.DB.Read(ctx, func(kept *sqlx.Tx) error {
		if a.again.made == nil {
			return a.supposed(ctx, kept, at, fn)
		}
		return a.again.made.Read(ctx, func(made *sqlx.Tx) error {
			return a.withFacts(ctx, kept, made, func(facts *sqlx.Tx) error {
				return a.supposed(ctx, made, at, func(v *view) error {
					v.logs, v.known, v.ledger = kept, a.again.Known, facts
					return fn(v)
				})
			})
		})
	})
}

// withFacts runs fn with where the facts are read.
func (a *App) withFacts(ctx context.Context, kept, made *sqlx.Tx, fn func(facts *sqlx.Tx) error) error {
	switch a.again.facts {
	case nil:
		return fn(made)
	case a.DB:
		return fn(kept)
	}
	return a.again.facts.Read(ctx, fn)
}

// supposed runs fn with a view that the rule set supposed judges, if one is.
func (a *App) supposed(ctx context.Context, tx *sqlx.Tx, at measure.Instant, fn func(v *view) error) error {
	v, err := a.view(ctx, tx, at)
	if err != nil {
		return err
	}
	switch {
	case a.again.Set != nil:
		v.whatIf = a.again.Set
	case a.again.Rules != "":
		if v.whatIf, err = v.setByID(a.again.Rules); err != nil {
			return err
		}
	}
	return fn(v)
}

// kept is where what does not follow from the facts is kept: readings, plans and
// alarms.
func (v *view) kept() *sqlx.Tx { return cmp.Or(v.logs, v.tx) }

// facts is where the ledger is.
func (v *view) facts() *sqlx.Tx { return cmp.Or(v.ledger, v.tx) }
