package app

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/storage/evidence"
	"ovenward/storage/exposure"
	"ovenward/storage/ovendb"
	"ovenward/storage/ruledb"
	"ovenward/storage/rules"
)

// view is the site in one transaction, at an instant. What it loads it keeps,
// so that a screen of many bundles reads each oven once; copies of a view share
// it.
type view struct {
	ctx      context.Context
	tx       *sqlx.Tx
	app      *App
	site     string
	at       measure.Instant
	zone     *time.Location
	settings ruledb.Site

	sets   map[string]*rules.Set
	lots   map[string]inventory.Lot
	places map[string]*loaded
	airs   map[string]*airRead

	histories *stockdb.Histories
	office    *[]inventory.Person // who ever held an office; nil: not asked yet

	whatIf *rules.Set      // judges everything instead of the sets that did; nil: none
	logs   *sqlx.Tx        // what does not follow from the facts is kept here, if not where they are
	known  measure.Instant // no reading that came in later was known; zero: all that there are
	ledger *sqlx.Tx        // the facts are kept here, if not where what follows from them is

	checks checks // asks what would be if other checks of sensors had been made; nil: as they were
}

// checks says which checks of a sensor count instead of those that were made.
type checks = func(sensor string, made []evidence.Calibration) []evidence.Calibration

// loaded is the evidence of a place with the stretch of time it covers.
type loaded struct {
	from, to measure.Instant
	place    *evidence.Place
}

// unknown turns a missing row into a refusal that says what was looked for.
func unknown(what, code, next string, err error) error {
	if !errors.Is(err, db.ErrNotFound) {
		return err
	}
	return &inventory.Refusal{Code: inventory.Unknown, Subject: code, Value: code,
		Why: fmt.Sprintf("no such %s at this site", what), Next: next}
}

func (v *view) lot(code string) (inventory.Lot, error) {
	if l, ok := v.lots[code]; ok {
		return l, nil
	}
	l, err := stockdb.Lot(v.ctx, v.tx, v.site, code)
	if err != nil {
		return l, unknown("lot", code, "read the lot number off the label again, or see what is here with: ovenward stock", err)
	}
	v.lots[code] = l
	return l, nil
}

func (v *view) bundle(code string) (inventory.Bundle, error) {
	code, err := inventory.ParseCode(code)
	if err != nil {
		return inventory.Bundle{}, err
	}
	b, err := stockdb.Bundle(v.ctx, v.tx, v.site, code)
	return b, unknown("bundle", code, "scan the label again, or see what is here with: ovenward stock", err)
}

func (v *view) slip(code string) (inventory.Slip, error) {
	code, err := inventory.ParseCode(code)
	if err != nil {
		return inventory.Slip{}, err
	}
	s, err := stockdb.Slip(v.ctx, v.tx, v.site, code)
	return s, unknown("slip", code, "scan the slip again, or see what is out with: ovenward out", err)
}

func (v *view) place(name string) (inventory.Place, error) {
	p, err := stockdb.Place(v.ctx, v.tx, v.site, name)
	return p, unknown("place", name, "set it up with: ovenward oven add "+name+" --kind \"holding oven\"", err)
}

// set returns the rule set in force for a job, empty for the site's own.
func (v *view) set(job string) (*rules.Set, error) {
	id, err := ruledb.ForJob(v.ctx, v.tx, v.site, job)
	if err != nil && !errors.Is(err, db.ErrNotFound) {
		return nil, err
	}
	if id == "" {
		return nil, &inventory.Refusal{Code: inventory.RulesNotApproved, Why: "no rule set is in force at this site",
			Next: "QA approves one: ovenward rules list, then ovenward rules approve ID --by NAME"}
	}
	return v.setByID(id)
}

func (v *view) setByID(id string) (*rules.Set, error) {
	if v.whatIf != nil {
		return v.whatIf, nil
	}
	if s, ok := v.sets[id]; ok {
		return s, nil
	}
	approved, err := ruledb.Find(v.ctx, v.tx, v.site, id)
	if errors.Is(err, db.ErrNotFound) {
		return nil, &inventory.Refusal{Code: inventory.RulesNotApproved, Subject: id, Value: id,
			Why: "the rule set was not approved for this site", Next: "QA approves it: ovenward rules approve " + id + " --by NAME"}
	}
	if err != nil {
		return nil, err
	}
	s, err := approved.Set()
	if err != nil {
		return nil, err
	}
	if s, err = s.With(v.app.Sets); err != nil {
		return nil, err
	}
	v.sets[id] = s
	return s, nil
}

func subject(l inventory.Lot, b inventory.Bundle) rules.Subject {
	return rules.Subject{Mark: l.Mark, Package: b.Package, Tight: b.Tight, Maker: l.Maker, Product: l.Product}
}

// judge returns what a rule set says of a bundle at the view's instant. Stays
// that have not happened yet may be added, to ask what would be.
func (v *view) judge(set *rules.Set, b inventory.Bundle, h *inventory.History, explain bool) (exposure.Judgement, error) {
	l, err := v.lot(b.Lot)
	if err != nil {
		return exposure.Judgement{}, err
	}
	if l.Status == inventory.PracticeStock {
		return v.practiceJudgement(set), nil
	}
	ruling, err := set.Resolve(subject(l, b))
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		return exposure.Judgement{At: v.at, Verdict: inventory.Unruled, Why: ref.Why}, nil
	}
	if err != nil {
		return exposure.Judgement{}, err
	}
	places := map[string]*evidence.Place{}
	if err := v.evidence(h, ruling.Evidence.MaxGap, places); err != nil {
		return exposure.Judgement{}, err
	}
	f := exposure.Facts{History: h, Places: places, Ruling: ruling}
	if err := v.columnB(l, &f); err != nil {
		return exposure.Judgement{}, err
	}
	if explain {
		return exposure.Explain(f, v.at), nil
	}
	return exposure.Judge(f, v.at), nil
}

// judged is judge for a bundle as it is.
func (v *view) judged(set *rules.Set, b inventory.Bundle) (exposure.Judgement, error) {
	h, err := v.history(b)
	if err != nil {
		return exposure.Judgement{}, err
	}
	return v.judge(set, b, h, false)
}

func (v *view) history(b inventory.Bundle) (*inventory.History, error) {
	return v.past().Of(v.ctx, v.tx, b.Code)
}

// past returns the histories as they stood at the view's instant.
func (v *view) past() *stockdb.Histories {
	if v.histories == nil || v.histories.Until() != v.at {
		v.histories = stockdb.NewHistories(v.site, v.at)
	}
	return v.histories
}

// evidence loads the readings that a history needs: those of each heated place
// while the rods were in it, and as far around as a gap may reach. Bundles that
// share a past are looked at once.
func (v *view) evidence(h *inventory.History, gap measure.Duration, into map[string]*evidence.Place) error {
	seen := map[*inventory.History]bool{}
	for open := []*inventory.History{h}; len(open) > 0; {
		next := open[len(open)-1]
		open = open[:len(open)-1]
		if seen[next] {
			continue
		}
		seen[next] = true
		for _, s := range next.Stays {
			if err := v.stayEvidence(s, gap, into); err != nil {
				return err
			}
		}
		for _, o := range next.Origins {
			open = append(open, o.History)
		}
	}
	return nil
}

func (v *view) stayEvidence(s inventory.Stay, gap measure.Duration, into map[string]*evidence.Place) error {
	from, to, ok := v.needs(s, gap)
	if !ok {
		return nil
	}
	p, err := v.readings(s.Place.Name, from, to)
	into[s.Place.Name] = p
	return err
}

// needs returns the stretch of a place's readings that a stay needs; false for
// a stay that needs none.
func (v *view) needs(s inventory.Stay, gap measure.Duration) (from, to measure.Instant, ok bool) {
	if s.Sealed || !s.Place.Kind.Heated() || s.From > v.at {
		return 0, 0, false
	}
	to = v.at
	if s.To != 0 && s.To < to {
		to = s.To
	}
	return s.From.Add(-gap), to.Add(gap), true
}

// everything loads what a screen of all bundles needs: their histories at once,
// and each place's readings once over all the time that any of them needs. It
// returns the rule set in force; nil where none is, and nothing is judged.
func (v *view) everything() (*rules.Set, error) {
	set, err := v.setFor(inventory.Bundle{}, "")
	if set == nil || err != nil {
		return nil, err
	}
	if err := v.past().Live(v.ctx, v.tx); err != nil {
		return nil, err
	}
	type stretch struct{ from, to measure.Instant }
	places := map[string]stretch{}
	for h := range v.histories.All() {
		for _, s := range h.Stays {
			from, to, ok := v.needs(s, set.Evidence.MaxGap)
			if !ok {
				continue
			}
			if have, ok := places[s.Place.Name]; ok {
				from, to = min(from, have.from), max(to, have.to)
			}
			places[s.Place.Name] = stretch{from, to}
		}
	}
	for name, p := range places {
		if _, err := v.readings(name, p.from, p.to); err != nil {
			return nil, err
		}
	}
	return set, nil
}

// readings returns a place's evidence over at least the stretch asked for.
func (v *view) readings(place string, from, to measure.Instant) (*evidence.Place, error) {
	have := v.places[place]
	if have != nil && have.from <= from && have.to >= to {
		return have.place, nil
	}
	if have != nil {
		from, to = min(from, have.from), max(to, have.to)
	}
	p, err := ovendb.EvidenceAs(v.ctx, v.tx, v.site, place, from, to, ovendb.Asked{Logs: v.kept(), Known: v.known, Checks: v.checks})
	if err != nil {
		return nil, err
	}
	v.places[place] = &loaded{from: from, to: to, place: p}
	return p, nil
}

// ignoreMissing turns the error of a look-up that may find nothing into nil.
func ignoreMissing(err error) error {
	if errors.Is(err, db.ErrNotFound) {
		return nil
	}
	return err
}
