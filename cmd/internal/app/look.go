package app

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
	"ovenward/storage/moisture"
	"ovenward/storage/rules"
)

// Look is a bundle with what is known of it at an instant.
type Look struct {
	Bundle    inventory.Bundle
	Lot       inventory.Lot
	Judgement exposure.Judgement
	Longer    string           // what decided between column A and column B; empty where there is no column B
	Advice    *moisture.Advice // from At, where the rule set asks for it
	Expiry    rules.Expiry
	Expired   bool            // its last day has passed
	Warned    bool            // its last day is near
	Covered   measure.Instant // since when it is covered where it is, on a machine; zero: it is not
	Since     measure.Instant // since when it is where it is; zero where nothing judges it
}

// At returns a bundle as it stands at an instant, with every piece of time that
// counted. Zero is now. Rules names another rule set to judge by.
func (a *App) At(ctx context.Context, code string, at measure.Instant, ruleset string) (l Look, err error) {
	err = a.read(ctx, at, func(v *view) error {
		b, err := v.bundle(code)
		if err != nil {
			return err
		}
		if b.Born > v.at {
			return v.notYet(b)
		}
		set, err := v.setFor(b, ruleset)
		if err != nil {
			return err
		}
		if l, err = v.look(set, b, true); err != nil {
			return err
		}
		l.Advice, err = v.takenUp(l.Lot, l.Judgement)
		return err
	})
	return l, err
}

// notYet is the refusal of a question of a bundle before it came to be.
func (v *view) notYet(b inventory.Bundle) error {
	born := b.Born.Clock(v.zone, v.at)
	return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: b.Code, Value: v.at.Clock(v.zone, b.Born), Limit: born,
		Why: "it came to be at " + born + ", after the time asked about", Next: "ask of that time or a later one, or of what its rods were before: ovenward trace " + b.Code}
}

// setFor returns the rule set that judges a bundle: the one named, that of the
// slip it is out on, or the site's. It is nil where none is in force: then
// nothing can be judged, and a screen says so.
func (v *view) setFor(b inventory.Bundle, named string) (*rules.Set, error) {
	if named != "" {
		return v.setByID(named)
	}
	if b.Slip != "" {
		s, err := stockdb.Slip(v.ctx, v.tx, v.site, b.Slip)
		if err != nil {
			return nil, err
		}
		return v.setByID(s.Rules)
	}
	set, err := v.set("")
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok && ref.Code == inventory.RulesNotApproved {
		return nil, nil
	}
	return set, err
}

// look judges a bundle for a screen.
func (v *view) look(set *rules.Set, b inventory.Bundle, explain bool) (Look, error) {
	l, err := v.lot(b.Lot)
	if err != nil {
		return Look{}, err
	}
	out := Look{Bundle: b, Lot: l, Judgement: exposure.Judgement{At: v.at, Verdict: inventory.Unruled, Why: "no rule set is in force"}}
	if err := v.dated(&out, set); err != nil || set == nil {
		return out, err
	}
	h, err := v.history(b)
	if err != nil {
		return Look{}, err
	}
	out.Covered = h.Covered()
	if n := len(h.Stays); n > 0 {
		out.Since = h.Stays[n-1].From
	}
	out.Judgement, err = v.judge(set, b, h, explain)
	out.Longer = v.words().Longer(out.Judgement)
	return out, err
}

// SlipLook is a slip with what is known of its rods at an instant.
type SlipLook struct {
	Slip      inventory.Slip
	Lot       inventory.Lot
	Judgement exposure.Judgement // of the rods while they were out
	Longer    string             // what decided between column A and column B; empty where there is no column B
	Overdue   measure.Instant    // since when; zero: it is not
	Holder    inventory.Place    // where they are, or were when they came back
	Covered   measure.Instant    // since when they are covered there, on a machine; zero: they are not
	Flags     []inventory.Flag   // rules that only warned; known where one slip is asked for
}

// Slip returns a slip as it stands at an instant; zero is now.
func (a *App) Slip(ctx context.Context, code string, at measure.Instant) (s SlipLook, err error) {
	err = a.read(ctx, at, func(v *view) error {
		found, err := v.slip(code)
		if err != nil {
			return err
		}
		if s, err = v.slipLook(found); err != nil {
			return err
		}
		s.Flags, err = stockdb.Flags(v.ctx, v.tx, v.site, found.Code)
		return err
	})
	return s, err
}

// slipLook judges the rods of a slip at the view's instant, or when they came
// back if that was earlier. Where some were set apart, those that are due first
// speak for the slip.
func (v *view) slipLook(s inventory.Slip) (SlipLook, error) {
	set, err := v.setByID(s.Rules)
	if err != nil {
		return SlipLook{}, err
	}
	then := *v
	if s.Closed != 0 && s.Closed < v.at {
		then.at = s.Closed
	}
	out := SlipLook{Slip: s}
	rods, err := v.rodsOf(s)
	if err != nil {
		return SlipLook{}, err
	}
	for i, b := range rods {
		l, err := then.look(set, b, false)
		if err != nil {
			return SlipLook{}, err
		}
		if i == 0 || sooner(l.Judgement.Due, out.Judgement.Due) {
			out.Lot, out.Judgement, out.Longer = l.Lot, l.Judgement, l.Longer
			out.Holder, out.Covered = b.Place, l.Covered
		}
	}
	due := out.Judgement.Due
	switch {
	case due == 0 || due > then.at:
	case s.Closed == 0 || s.Closed > due || v.at < s.Closed:
		out.Overdue = due
	}
	return out, nil
}

// rodsOf returns the bundles that rods of a slip are or were out as: that of
// the slip's own code first, then what was set apart by the view's instant.
func (v *view) rodsOf(s inventory.Slip) ([]inventory.Bundle, error) {
	own, err := v.bundle(s.Code)
	if err != nil {
		return nil, err
	}
	apart, err := stockdb.SlipBundles(v.ctx, v.tx, v.site, s.Code)
	if err != nil {
		return nil, err
	}
	apart = slices.DeleteFunc(apart, func(b inventory.Bundle) bool { return b.Code == own.Code || b.Born > v.at })
	return append([]inventory.Bundle{own}, apart...), nil
}

// sooner reports whether an instant is before another; zero is never.
func sooner(a, b measure.Instant) bool { return a != 0 && (b == 0 || a < b) }

// Out returns the slips that are out at an instant, the most urgent first:
// what is past its limit longest, then what is due soonest.
func (a *App) Out(ctx context.Context, at measure.Instant) (list []SlipLook, err error) {
	err = a.read(ctx, at, func(v *view) error {
		slips, err := v.out()
		if err != nil {
			return err
		}
		if _, err := v.everything(); err != nil {
			return err
		}
		list = nil
		for _, s := range slips {
			l, err := v.slipLook(s)
			if err != nil {
				return err
			}
			list = append(list, l)
		}
		return nil
	})
	sortByUrgency(list)
	return list, err
}

// out returns the slips that are out at the view's instant. Where no fact is
// known of later, those are the ones that are open, for which an index is kept.
func (v *view) out() ([]inventory.Slip, error) {
	head, err := ledgerdb.Head(v.ctx, v.facts(), v.site)
	if err != nil {
		return nil, err
	}
	if v.at >= head.Noted {
		return stockdb.OpenSlips(v.ctx, v.tx, v.site)
	}
	return stockdb.OutAt(v.ctx, v.tx, v.site, v.at)
}

// Stock returns the bundles in the crib at an instant, each judged.
func (a *App) Stock(ctx context.Context, at measure.Instant) (list []Look, err error) {
	err = a.read(ctx, at, func(v *view) error {
		live, err := stockdb.Live(ctx, v.tx, v.site)
		if err != nil {
			return err
		}
		set, err := v.everything()
		if err != nil {
			return err
		}
		list, err = v.looks(set, live)
		return err
	})
	return list, err
}

// looks judges the bundles that no slip holds and that were there at the instant.
func (v *view) looks(set *rules.Set, bundles []inventory.Bundle) (list []Look, err error) {
	for _, b := range bundles {
		if b.Slip != "" || b.Born > v.at {
			continue
		}
		l, err := v.look(set, b, false)
		if err != nil {
			return nil, err
		}
		list = append(list, l)
	}
	return list, nil
}

// OnMachines returns what is on a feeder or in a hopper without a slip, what is
// due first at the head.
func (a *App) OnMachines(ctx context.Context, at measure.Instant) (list []Look, err error) {
	err = a.read(ctx, at, func(v *view) error {
		bundles, err := stockdb.OnMachines(v.ctx, v.tx, v.site)
		if err != nil {
			return err
		}
		set, err := v.setFor(inventory.Bundle{}, "")
		if err != nil {
			return err
		}
		list, err = v.looks(set, bundles)
		return err
	})
	slices.SortStableFunc(list, func(a, b Look) int {
		return cmp.Compare(uint64(a.Judgement.Due-1), uint64(b.Judgement.Due-1)) // none is last
	})
	return list, err
}

// LotOf returns the lot of a bundle.
func (a *App) LotOf(ctx context.Context, bundle string) (l inventory.Lot, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		b, err := v.bundle(bundle)
		if err != nil {
			return err
		}
		l, err = v.lot(b.Lot)
		return err
	})
	return l, err
}

// Facts returns the newest facts of the site, newest first.
func (a *App) Facts(ctx context.Context, n int) (list []ledger.Fact, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		list, err = ledgerdb.Recent(ctx, v.facts(), v.site, n)
		return err
	})
	return list, err
}
