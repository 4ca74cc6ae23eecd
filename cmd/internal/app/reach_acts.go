package app

import (
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/rules"
)

// touchedBy returns every bundle that was in a place, and what became of its
// rods.
func (v *view) touchedBy(p inventory.Place, from, to measure.Instant) ([]string, error) {
	return stockdb.Touched(v.ctx, v.tx, v.site, p, from, to)
}

// among returns those of some bundles whose rods were in a place.
func (v *view) among(codes []string) touching {
	return func(p inventory.Place, from, to measure.Instant) ([]string, error) {
		var list []string
		for _, code := range codes {
			h, err := v.past().Of(v.ctx, v.tx, code)
			if err != nil {
				return nil, err
			}
			if wasIn(h, p, from, to) {
				list = append(list, code)
			}
		}
		return list, nil
	}
}

// wasIn reports whether rods were in a place out of their package, back to the
// can.
func wasIn(h *inventory.History, p inventory.Place, from, to measure.Instant) bool {
	return slices.ContainsFunc(h.Stays, func(s inventory.Stay) bool {
		return s.Place == p && !s.Sealed && s.From <= to && (s.To == 0 || s.To >= from)
	}) || slices.ContainsFunc(h.Origins, func(o inventory.Origin) bool { return wasIn(o.History, p, from, min(to, o.Until)) })
}

// each calls fn with all that was judged of some bundles by what a sensor showed
// in the time for which a check of it speaks: how a hold or a bake ended, what
// went out and came back after it, and what was left of it when it was entered.
func (v *view) each(r Reach, which touching, fn func(Changed, *rules.Set, inventory.Bundle, *inventory.History) error) error {
	p, err := v.place(r.Sensor.Place)
	if err != nil {
		return err
	}
	set, err := v.setFor(inventory.Bundle{}, "")
	if err != nil || set == nil {
		return err
	}
	codes, err := which(p, r.Since, r.Until)
	if err != nil {
		return err
	}
	for _, code := range codes {
		b, err := stockdb.Bundle(v.ctx, v.tx, v.site, code)
		if err != nil {
			return err
		}
		h, err := v.history(b)
		if err != nil {
			return err
		}
		acts, err := v.acts(b, h, p, r)
		if err != nil {
			return err
		}
		for _, one := range acts {
			set := set
			if one.rules != "" {
				if set, err = v.setByID(one.rules); err != nil {
					return err
				}
			}
			if err := fn(one, set, b, h); err != nil {
				return err
			}
		}
	}
	return nil
}

// acts returns when a bundle was judged in the time for which a check speaks, as
// far as that may rest on a place.
func (v *view) acts(b inventory.Bundle, h *inventory.History, p inventory.Place, r Reach) ([]Changed, error) {
	var all []Changed
	add := func(a Act, at measure.Instant, s inventory.Slip) {
		if at >= r.Since && at <= r.Until {
			all = append(all, Changed{Act: a, At: at, Bundle: b.Code, Lot: b.Lot, Slip: s.Code, Joints: s.Joints, rules: s.Rules})
		}
	}
	for _, s := range h.Stays {
		if s.Returned {
			slip, err := v.slipBehind(h)
			if err != nil {
				return nil, err
			}
			add(CameBack, s.From, slip)
		}
		switch {
		case s.Place != p || s.Sealed || s.To == 0:
		case s.Bake != nil:
			add(Baked, s.To, inventory.Slip{})
		default:
			add(Held, s.To, inventory.Slip{})
		}
	}
	slips, err := stockdb.SlipsFrom(v.ctx, v.tx, v.site, b.Lot, b.Code)
	if err != nil {
		return nil, err
	}
	for _, s := range slips {
		add(WentOut, s.At, s)
	}
	last, found := stayAt(h, r.Until)
	switch {
	case !found || (b.Empty() && last.To == 0):
	case last.Slip != "":
		s, err := v.slip(last.Slip)
		if err != nil {
			return nil, err
		}
		add(IsOut, r.Until, s)
	default:
		add(InStock, r.Until, inventory.Slip{})
	}
	return all, nil
}

// stayAt returns where a bundle was at an instant; false where it was not, or
// was no more.
func stayAt(h *inventory.History, at measure.Instant) (inventory.Stay, bool) {
	i := slices.IndexFunc(h.Stays, func(s inventory.Stay) bool { return s.From <= at && (s.To == 0 || s.To > at) })
	if i < 0 {
		return inventory.Stay{}, false
	}
	return h.Stays[i], true
}

// slipBehind returns the slip that the rods of a bundle came back from.
func (v *view) slipBehind(h *inventory.History) (inventory.Slip, error) {
	for _, o := range h.Origins {
		b, err := stockdb.Bundle(v.ctx, v.tx, v.site, o.History.Bundle)
		if err != nil {
			return inventory.Slip{}, err
		}
		if b.Slip != "" {
			return stockdb.Slip(v.ctx, v.tx, v.site, b.Slip)
		}
	}
	return inventory.Slip{}, nil
}
