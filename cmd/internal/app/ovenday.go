package app

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// heatedPlace returns a place that is meant to be hot.
func (v *view) heatedPlace(name string) (inventory.Place, error) {
	p, err := v.place(name)
	if err != nil || p.Kind.Heated() {
		return p, err
	}
	return p, &inventory.Refusal{Code: inventory.Unknown, Subject: name, Value: string(p.Kind),
		Why: fmt.Sprintf("%s is a %s and is not heated", p.Name, p.Kind), Next: "name an oven or a quiver"}
}

// shutDown checks an announced shutdown and writes its times with their offset,
// so that they mean the same wherever the ledger is read.
func (d *desk) shutDown(e *inventory.ShutDown) error {
	p, err := d.heatedPlace(e.Place)
	if err != nil {
		return err
	}
	if strings.TrimSpace(e.Why) == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "why", Why: "a shutdown without a reason is a failure that nobody reported",
			Next: "say why with --why, such as --why \"weekend\""}
	}
	from, to, err := d.shutTimes(e)
	if err != nil {
		return err
	}
	offset := func(i measure.Instant) string { return i.Time().In(d.zone).Format(time.RFC3339Nano) }
	e.From, e.To = offset(from), offset(to)
	inside, err := d.inside(p)
	if err != nil {
		return err
	}
	if n := len(inside); n > 0 {
		d.warn("%s in %s: while it is off their clock is judged by what is proven, as ever; move what has to stay hot",
			bundles(n), p.Name)
	}
	return nil
}

func (d *desk) shutTimes(e *inventory.ShutDown) (from, to measure.Instant, err error) {
	from = d.at
	if e.From != "" {
		if from, err = ParseInstant(e.From, d.zone); err != nil {
			return 0, 0, err
		}
	}
	if to, err = ParseInstant(e.To, d.zone); err != nil {
		return 0, 0, err
	}
	if to <= from {
		return 0, 0, &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: e.Place, Value: to.In(d.zone), Limit: from.In(d.zone),
			Why: "it would end before it begins", Next: "check both times"}
	}
	return from, to, nil
}

// ovenChecked checks what is said of a look at an oven. Rods from its floor have
// no name any more: they are scrap, and what lies above them is to be counted.
func (d *desk) ovenChecked(e *inventory.OvenChecked) error {
	p, err := d.heatedPlace(e.Place)
	if err != nil {
		return err
	}
	if e.Value != "" {
		if _, err := measure.ParseTemperature(e.Value); err != nil {
			return inventory.FieldRefusal("value", err)
		}
	}
	if e.Floor == 0 {
		return nil
	}
	inside, err := d.inside(p)
	if err != nil {
		return err
	}
	d.warn("%s from the floor of %s: unidentified, discard them; nobody can say what they were. "+
		"Count what lies there, they are missing from it: %s", inventory.Rods(int64(e.Floor)), p.Name, cmp.Or(list(codesInside(inside)), "nothing by the books"))
	return nil
}
