package app

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// blended decides whether flux of several bundles may be made one lot.
func (d *desk) blended(e *inventory.Blended) error {
	if len(e.Inputs) < 2 {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "inputs", Why: "a blend takes flux of two bundles or more", Next: "name them all"}
	}
	set, err := d.set("")
	if err != nil {
		return err
	}
	mix := mixture{desk: d, set: set}
	for i := range e.Inputs {
		if err := mix.add(&e.Inputs[i]); err != nil {
			return err
		}
	}
	if err := mix.keeps(e); err != nil {
		return err
	}
	if e.Into != "" {
		into, err := d.place(e.Into)
		if err != nil {
			return err
		}
		if err := d.stows(mix.lot, unsealed(mix.first), stow{into: into}); err != nil {
			return err
		}
	}
	if e.As, err = d.assign('B', e.As); err != nil {
		return err
	}
	if e.Lot == "" {
		e.Lot = e.As
	}
	return d.newLot(e.Lot)
}

// newLot refuses the name of a lot that is here.
func (d *desk) newLot(code string) error {
	_, err := stockdb.Lot(d.ctx, d.tx, d.site, code)
	if errors.Is(err, db.ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	return &inventory.Refusal{Code: inventory.Duplicate, Subject: code, Value: code, Why: "a lot of that name is here",
		Next: "give the blend another name, or leave it out"}
}

// mixture is a blend as its inputs are looked at one after the other.
type mixture struct {
	*desk
	set             *rules.Set
	first           inventory.Bundle
	lot             inventory.Lot
	seen            []string
	total, recycled measure.Mass
}

// add looks at one input: flux of the class of the others, fit to go out, as much
// as there is.
func (m *mixture) add(in *inventory.BlendInput) error {
	b, err := m.inCrib(in.Bundle)
	if err != nil {
		return err
	}
	in.Bundle = b.Code
	l, err := m.desk.lot(b.Lot)
	if err != nil {
		return err
	}
	if err := m.alike(l, b); err != nil {
		return err
	}
	if _, err := m.issuable(m.set, l, b); err != nil {
		return err
	}
	mass, err := in.Amount(b)
	if err != nil {
		return err
	}
	if in.Mass != "" {
		in.Mass = mass.Exact()
	}
	if mass < b.Mass {
		if err := b.Divisible(); err != nil {
			return err
		}
	}
	part, err := stockdb.Recycled(m.ctx, m.tx, m.site, b, mass)
	m.total, m.recycled = m.total+mass, m.recycled+part
	return err
}

// alike refuses what is no flux, is named twice, or is of another class than the
// others. Crushed slag has a class of its own and so is kept apart.
func (m *mixture) alike(l inventory.Lot, b inventory.Bundle) error {
	ref := &inventory.Refusal{Code: inventory.WrongClass, Subject: b.Code, Value: l.Mark.Canonical}
	switch {
	case l.Mark.Family != designation.SAWFlux:
		ref.Why, ref.Next = l.Mark.Canonical+" is not flux", "rods and wire are not blended; bundles of one lot are joined"
		return ref
	case slices.Contains(m.seen, b.Code):
		ref.Code, ref.Why, ref.Next = inventory.Duplicate, "it is named twice", "name each bundle once"
		return ref
	case len(m.seen) == 0:
		m.first, m.lot = b, l
	case l.Mark.Canonical != m.lot.Mark.Canonical:
		ref.Limit = m.lot.Mark.Canonical
		ref.Why = fmt.Sprintf("it is %s, %s is %s", l.Mark.Canonical, m.first.Code, m.lot.Mark.Canonical)
		ref.Next = "blend flux of one class only"
		if l.CrushedSlag() != m.lot.CrushedSlag() {
			ref.Next = "keep crushed slag apart: every batch of it is tested and marked by itself"
		}
		return ref
	}
	m.seen = append(m.seen, b.Code)
	return nil
}

// keeps refuses a blend with too much recycled flux, and writes down by which
// rows it was judged. Published ratios contradict each other, so that without a
// row nothing is blended.
func (m *mixture) keeps(e *inventory.Blended) error {
	rows := m.set.Blends(subject(m.lot, m.first))
	if len(rows) == 0 {
		return m.ruled(&inventory.Refusal{Code: inventory.NoRule, Subject: m.lot.Mark.Canonical, Value: m.lot.Mark.Canonical, Rule: m.set.ID,
			Why: "no blend row of rule set " + m.set.ID + " says how much may be recycled", Next: "QA adds a row with its source to a new version of the rule set"})
	}
	names := make([]string, len(rows))
	for i, r := range rows {
		names[i] = r.Row
		if r.Keeps(m.recycled, m.total) {
			continue
		}
		if err := m.ruled(m.tooMuch(&r)); err != nil {
			return err
		}
	}
	e.Judged = &inventory.BlendJudged{Rules: m.set.ID, Edition: m.set.Edition, Digest: m.set.Digest, Rows: strings.Join(names, ", "),
		New: share(m.total-m.recycled, m.total)}
	return nil
}

func (m *mixture) tooMuch(r *rules.BlendRow) error {
	fresh := m.total - m.recycled
	ref := &inventory.Refusal{Code: inventory.TooMany, Subject: m.first.Code, Rule: m.set.ID + "/" + r.Row, Source: r.Source,
		Value: share(m.recycled, m.total), Next: "put more new flux in, or less recycled"}
	ref.Why = fmt.Sprintf("%s of %s is recycled (%s)", m.recycled, m.total, share(m.recycled, m.total))
	if r.RecycledMax > 0 && m.recycled*100 > m.total*measure.Mass(r.RecycledMax) {
		ref.Limit = fmt.Sprintf("%d %%", r.RecycledMax)
		ref.Why += fmt.Sprintf(", at most %d %% may be", r.RecycledMax)
		return ref
	}
	ref.Value, ref.Limit = share(fresh, m.total), fmt.Sprintf("%d %%", r.NewMin)
	ref.Why = fmt.Sprintf("%s of %s is new (%s), at least %d %% must be", fresh, m.total, share(fresh, m.total), r.NewMin)
	return ref
}

// share prints a part of a mass in per cent with one decimal.
func share(part, total measure.Mass) string {
	tenths := (int64(part)*1000 + int64(total)/2) / int64(total)
	return fmt.Sprintf("%d.%d %%", tenths/10, tenths%10)
}

// reclaimed decides whether flux may be taken up again.
func (d *desk) reclaimed(e *inventory.Reclaimed) error {
	b, err := d.here(e.Bundle)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	if l.Mark.Family != designation.SAWFlux {
		return &inventory.Refusal{Code: inventory.WrongClass, Subject: b.Code, Value: l.Mark.Canonical, Why: l.Mark.Canonical + " is not flux",
			Next: "only unmelted flux is reclaimed; rods and wire come back with: ovenward return"}
	}
	if err := b.Divisible(); err != nil {
		return err
	}
	mass, err := (inventory.BlendInput{Bundle: b.Code, Mass: orNothing(e.Mass)}).Amount(b)
	if err != nil {
		return err
	}
	e.Mass = mass.Exact()
	if e.Into == "" {
		e.Into = inventory.Store
	}
	into, err := d.place(e.Into)
	if err != nil {
		return err
	}
	if inventory.Afield(into.Kind) {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: into.Name, Value: string(into.Kind),
			Why: fmt.Sprintf("%s is a %s: reclaimed flux is sieved and blended before it is used again", into.Name, into.Kind), Next: "name a shelf or a cabinet"}
	}
	if err := d.stows(l, b, stow{into: into}); err != nil {
		return err
	}
	e.As, err = d.assign('B', e.As)
	return err
}

// orNothing is a mass that must be said.
func orNothing(mass string) string {
	if strings.TrimSpace(mass) == "" {
		return "0 kg"
	}
	return mass
}

// inputsReleased refuses a blend of which QA holds an input: what is wrong with
// one lot is wrong with every blend that it is in.
func (d *desk) inputsReleased(l inventory.Lot, b inventory.Bundle) error {
	if l.Mark.Family != designation.SAWFlux {
		return nil
	}
	made, err := d.madeOf(l.Code)
	if err != nil {
		return err
	}
	for _, code := range made {
		in, err := d.lot(code)
		if err != nil {
			return err
		}
		if in.Status == inventory.Held {
			return &inventory.Refusal{Code: inventory.OnHold, Subject: b.Code, Value: in.Reason,
				Why: "QA holds lot " + in.Code + ", which is in this blend: " + in.Reason, Next: "offer another lot; QA decides on this one"}
		}
	}
	return nil
}

// madeOf returns the lots that a lot was blended of, and those before them; none
// for one that came as it is.
func (v *view) madeOf(lot string) ([]string, error) {
	return v.blends(lot, stockdb.Inputs, func(in stockdb.Input) string { return in.InputLot })
}

// wentInto returns the lots that flux of a lot went into, and what those did.
func (v *view) wentInto(lot string) ([]string, error) {
	return v.blends(lot, stockdb.Into, func(in stockdb.Input) string { return in.Lot })
}

// blends follows the blends of a lot one way.
func (v *view) blends(lot string, next func(context.Context, *sqlx.Tx, string, string) ([]stockdb.Input, error),
	name func(stockdb.Input) string) ([]string, error) {
	var all []string
	for open := []string{lot}; len(open) > 0; open = open[1:] {
		inputs, err := next(v.ctx, v.tx, v.site, open[0])
		if err != nil {
			return nil, err
		}
		for _, in := range inputs {
			if n := name(in); !slices.Contains(all, n) {
				all, open = append(all, n), append(open, n)
			}
		}
	}
	return all, nil
}

// dropTop reminds the person who fills a hopper from a bag that was open before.
func (d *desk) dropTop(set *rules.Set, l inventory.Lot, b inventory.Bundle, into inventory.Place) {
	if into.Kind != inventory.Hopper || b.Sealed {
		return
	}
	if row := set.Hoppers(subject(l, b)); row != nil && row.DropTop != "" {
		d.warn("%s was open before: throw away the top %s of it (%s)", b.Code, row.DropTop, row.Source)
	}
}
