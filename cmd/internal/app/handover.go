package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// handedOver lays before the next attendant what is open in the crib. Only who
// takes it over can say that they have seen it.
func (d *desk) handedOver(e *inventory.HandedOver) error {
	e.From, e.To = strings.TrimSpace(e.From), cmp.Or(strings.TrimSpace(e.To), d.by)
	switch {
	case e.From == "":
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "from", Why: "nobody is named as the one who goes",
			Next: "say whose shift ends: --from WHO"}
	case e.To != d.by:
		return &inventory.Refusal{Code: inventory.NotAuthorised, Subject: "to", Value: d.by, Limit: e.To,
			Why: fmt.Sprintf("%s records it, and %s takes over", d.by, e.To), Next: "who takes over records it, under their own badge"}
	case e.From == e.To:
		return &inventory.Refusal{Code: inventory.SamePerson, Subject: "handover", Value: e.From,
			Why: e.From + " cannot take over from themselves", Next: "the next attendant records it, with --from " + e.From}
	}
	if err := d.endingShift(e); err != nil {
		return err
	}
	return d.openMatters(e)
}

// endingShift names the shift that is handed over: as given, or the one whose
// end is nearest.
func (d *desk) endingShift(e *inventory.HandedOver) error {
	h, err := d.habits()
	if err != nil {
		return err
	}
	near := inventory.Duties(h.Shifts, d.at.Add(-measure.Day), d.at.Add(measure.Day), d.zone)
	if e.Shift != "" {
		if i := slices.IndexFunc(near, func(s inventory.Duty) bool { return s.String() == e.Shift }); i < 0 {
			return &inventory.Refusal{Code: inventory.Unknown, Subject: "shift", Value: e.Shift, Why: "no shift of that name ends about then",
				Next: "leave it out, or write it as the shift report does; set shifts up with: ovenward setup --shifts 06:00-18:00,18:00-06:00"}
		}
		return nil
	}
	if len(near) > 0 {
		e.Shift = slices.MinFunc(near, func(a, b inventory.Duty) int { return cmp.Compare(apartFrom(a.To, d.at), apartFrom(b.To, d.at)) }).String()
	}
	return nil
}

func apartFrom(a, b measure.Instant) measure.Duration { return max(a.Sub(b), b.Sub(a)) }

// openMatters lists what is open at the view's instant.
func (d *desk) openMatters(e *inventory.HandedOver) error {
	e.Slips, e.Overdue, e.Machine, e.Ovens, e.Bakes, e.Holds = nil, nil, nil, nil, nil, nil
	set, err := d.everything()
	if err != nil {
		return err
	}
	for _, list := range []func(*inventory.HandedOver, *rules.Set) error{d.openSlips, d.onMachines, d.openOvens, d.openStock} {
		if err := list(e, set); err != nil {
			return err
		}
	}
	return nil
}

func (d *desk) openSlips(e *inventory.HandedOver, _ *rules.Set) error {
	slips, err := d.out()
	if err != nil {
		return err
	}
	for _, s := range slips {
		l, err := d.slipLook(s)
		if err != nil {
			return err
		}
		e.Slips = append(e.Slips, s.Code)
		if l.Overdue != 0 {
			e.Overdue = append(e.Overdue, s.Code)
		}
	}
	return nil
}

// onMachines lists what stays on a feeder or in a hopper over the change of shift:
// it is covered there, or brought back.
func (d *desk) onMachines(e *inventory.HandedOver, _ *rules.Set) error {
	bundles, err := stockdb.OnMachines(d.ctx, d.tx, d.site)
	if err != nil {
		return err
	}
	for _, b := range bundles {
		if b.Born > d.at {
			continue
		}
		h, err := d.history(b)
		if err != nil {
			return err
		}
		state := "not covered"
		if h.Covered() != 0 {
			state = "covered"
		}
		e.Machine = append(e.Machine, fmt.Sprintf("%s on %s, %s", b.Code, b.Place.Name, state))
	}
	return nil
}

// openOvens lists the holding ovens with something in them that are not proven
// in range.
func (d *desk) openOvens(e *inventory.HandedOver, set *rules.Set) error {
	if set == nil {
		return nil
	}
	places, err := ovendb.Places(d.ctx, d.tx, d.site)
	if err != nil {
		return err
	}
	for _, p := range places {
		if p.Kind != inventory.HoldingOven {
			continue
		}
		h, err := d.ovenHistory(p.Name, d.at.Add(-max(set.Evidence.MaxGap, measure.Hour)), d.at)
		if err != nil {
			return err
		}
		if n := len(h.Stretches); n > 0 && h.Stretches[n-1].Finding != evidence.InRange && len(h.Stretches[n-1].Inside) > 0 {
			e.Ovens = append(e.Ovens, fmt.Sprintf("%s %s", p.Name, h.Stretches[n-1].Finding))
		}
	}
	return nil
}

// openStock lists what is in a bake oven, and what QA has to decide on.
func (d *desk) openStock(e *inventory.HandedOver, set *rules.Set) error {
	live, err := stockdb.Live(d.ctx, d.tx, d.site)
	if err != nil {
		return err
	}
	for _, b := range live {
		if b.Born > d.at {
			continue
		}
		l, err := d.look(set, b, false)
		if err != nil {
			return err
		}
		if b.Place.Kind == inventory.BakeOven {
			e.Bakes = append(e.Bakes, b.Code)
		}
		switch {
		case l.Lot.Status == inventory.Held && !slices.Contains(e.Holds, "lot "+b.Lot):
			e.Holds = append(e.Holds, "lot "+b.Lot)
		case b.Hold != "", l.Judgement.Verdict == inventory.QAHold:
			e.Holds = append(e.Holds, b.Code)
		}
	}
	return nil
}
