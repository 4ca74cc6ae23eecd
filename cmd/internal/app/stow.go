package app

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/rules"
)

// stow is where stock is to be put.
type stow struct {
	into   inventory.Place
	rack   string
	layers inventory.Count
}

// String names it as the label does, "H1/3".
func (s stow) String() string { return inventory.Where(s.into.Name, s.rack) }

// stows refuses a place that the rule set in force keeps the stock out of, by
// itself or because of what is there already, a rack that is taken, and more
// layers than a row allows.
func (d *desk) stows(l inventory.Lot, b inventory.Bundle, s stow) error {
	if _, ok := inventory.Reserved(s.into.Name); ok && s.rack != "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: s.into.Name, Value: s.rack,
			Why: s.into.Name + " has no racks", Next: "name an oven or a shelf, or leave the rack out"}
	}
	if err := d.keptApart(l, s.into); err != nil {
		return err
	}
	set, err := d.setFor(b, "")
	if err != nil {
		return err
	}
	if set != nil { // without a rule set nothing is barred, and nothing goes out either
		if err := d.barred(set, l, b, s.into); err != nil {
			return err
		}
		if err := d.layered(set, l, b, s); err != nil {
			return err
		}
		if err := d.offTemperature(set, l, b, s); err != nil {
			return err
		}
	}
	return d.beside(set, l, b, s)
}

// barred refuses a kind of place that a rule set keeps the stock out of.
func (d *desk) barred(set *rules.Set, l inventory.Lot, b inventory.Bundle, into inventory.Place) error {
	row := set.Barred(subject(l, b), into.Kind)
	if row == nil {
		return nil
	}
	code := inventory.CoStorage
	if into.Kind == inventory.BakeOven {
		code = inventory.NeverBake
	}
	return d.ruled(neverInto(code, into.Name, l, into.Kind, set, row))
}

// neverInto refuses a kind of place that a row keeps stock out of.
func neverInto(code inventory.Code, subject string, l inventory.Lot, into inventory.PlaceKind, set *rules.Set, row *rules.CoStorageRow) error {
	return &inventory.Refusal{Code: code, Subject: subject, Value: l.Mark.Canonical,
		Why:  fmt.Sprintf("%s does not go into a %s: %s", l.Mark.Canonical, into, row.Why),
		Rule: set.ID + "/" + row.Row, Source: row.Source, Next: "keep it dry on a shelf, away from the ovens"}
}

// layered refuses more layers than the tightest row allows.
func (d *desk) layered(set *rules.Set, l inventory.Lot, b inventory.Bundle, s stow) error {
	row := set.Layers(subject(l, b), s.into.Kind)
	if row == nil || int64(s.layers) <= row.MaxLayers {
		return nil
	}
	return d.ruled(&inventory.Refusal{Code: inventory.TooMany, Subject: s.String(), Value: fmt.Sprint(s.layers),
		Limit: fmt.Sprint(row.MaxLayers), Why: fmt.Sprintf("%d layers on each other, at most %d", s.layers, row.MaxLayers),
		Rule: set.ID + "/" + row.Row, Source: row.Source, Next: "spread them over more racks, so that the heat gets to all of them"})
}

// beside refuses stock that may not be with what is in the place already. What
// is there is looked up only where a row or a rack asks for it.
func (d *desk) beside(set *rules.Set, l inventory.Lot, b inventory.Bundle, s stow) error {
	var rows []*rules.CoStorageRow
	if set != nil && !hermetic(b) {
		rows = set.Apart(s.into.Kind)
	}
	if len(rows) == 0 && s.rack == "" {
		return nil
	}
	there, err := d.inside(s.into)
	if err != nil {
		return err
	}
	there = slices.DeleteFunc(there, func(o insider) bool { return o.Code == b.Code })
	if err := d.rackFree(l, there, s); err != nil {
		return err
	}
	for _, row := range rows {
		if err := d.parted(set, row, l, b, s, there); err != nil {
			return err
		}
	}
	return nil
}

// unsealed is a bundle as it is once its package is opened.
func unsealed(b inventory.Bundle) inventory.Bundle {
	b.Sealed = false
	return b
}

// hermetic reports whether no moisture gets into or out of a package.
func hermetic(b inventory.Bundle) bool { return b.Sealed && b.Tight }

// rackFree refuses a rack on which another bundle lies: a rack is what tells its
// rods from all others.
func (d *desk) rackFree(l inventory.Lot, there []insider, s stow) error {
	i := slices.IndexFunc(there, func(o insider) bool { return s.rack != "" && o.Stay.Rack == s.rack })
	if i < 0 {
		return nil
	}
	on := there[i]
	ref := &inventory.Refusal{Code: inventory.CoStorage, Subject: s.String(), Value: on.Code,
		Why:  fmt.Sprintf("%s (%s, lot %s) lies on that rack", on.Code, on.Lot.Mark.Canonical, on.Lot.Code),
		Next: "put it on an empty rack and label that; taken in " + s.into.Name + ": " + racks(there)}
	if on.Lot.Code == l.Code {
		ref.Next += fmt.Sprintf("; or, as both are of lot %s, put it into %s without a rack and join them: ovenward join %s BUNDLE",
			l.Code, s.into.Name, on.Code)
	}
	return d.ruled(ref)
}

func racks(there []insider) string {
	var taken []string
	for _, o := range there {
		if o.Stay.Rack != "" {
			taken = append(taken, o.Stay.Rack)
		}
	}
	slices.Sort(taken)
	return strings.Join(slices.Compact(taken), ", ")
}

// parted refuses, or warns of, stock that a row keeps apart from what is there.
func (d *desk) parted(set *rules.Set, row *rules.CoStorageRow, l inventory.Lot, b inventory.Bundle, s stow, there []insider) error {
	hot, err := d.heat(set, row, s.into)
	if err != nil {
		return err
	}
	mine, err := d.besides(row, l, b)
	if err != nil {
		return err
	}
	for _, o := range there {
		if hermetic(o.Bundle) {
			continue
		}
		other, err := d.besides(row, o.Lot, o.Bundle)
		if err != nil {
			return err
		}
		if !row.Parts(mine, other, hot) {
			continue
		}
		why := fmt.Sprintf("%s does not go beside %s (%s) in one %s: %s",
			l.Mark.Canonical, o.Code, o.Lot.Mark.Canonical, s.into.Kind, row.Why)
		if row.Apart == rules.ByBakes {
			why = fmt.Sprintf("baked and never baked rods lie together in %s, with %s: %s", s.into.Name, o.Code, row.Why)
		}
		if row.Warn {
			d.warn("%s; keep them on racks of their own and marked [rule %s/%s; %s]", why, set.ID, row.Row, row.Source)
			return nil
		}
		return d.ruled(&inventory.Refusal{Code: inventory.CoStorage, Subject: s.into.Name, Value: l.Mark.Canonical, Limit: o.Lot.Mark.Canonical,
			Why: why, Rule: set.ID + "/" + row.Row, Source: row.Source, Next: "use another " + string(s.into.Kind) + ", or take " + o.Code + " out first"})
	}
	return nil
}

// besides is a bundle as a row wants to know it.
func (d *desk) besides(row *rules.CoStorageRow, l inventory.Lot, b inventory.Bundle) (rules.Beside, error) {
	n := rules.Beside{Subject: subject(l, b)}
	if row.Apart != rules.ByBakes {
		return n, nil
	}
	var err error
	n.Baked, err = stockdb.WasBaked(d.ctx, d.tx, d.site, b.Code, d.at)
	return n, err
}

// heat returns how hot a place is as far as a row asks: by its last reading, or
// as hot as any rule wants where nothing was read of late.
func (d *desk) heat(set *rules.Set, row *rules.CoStorageRow, p inventory.Place) (measure.Temperature, error) {
	if !row.From.Given() {
		return 0, nil
	}
	read, err := d.readings(p.Name, d.at.Add(-set.Evidence.MaxGap), d.at)
	if err != nil {
		return 0, err
	}
	last, ok := read.Last()
	if !ok {
		return row.From.Temperature, nil
	}
	return last.Temp, nil
}

// shelved takes the rack off a place that was written with it, "H1/3", unless a
// place has that very name.
func (d *desk) shelved(e inventory.Entry) error {
	place, rack := racked(e)
	if place == nil || *rack != "" {
		return nil
	}
	i := strings.LastIndexByte(*place, '/')
	if i <= 0 || i == len(*place)-1 {
		return nil
	}
	_, err := stockdb.Place(d.ctx, d.tx, d.site, *place)
	if err == nil || ignoreMissing(err) != nil {
		return err
	}
	*place, *rack = strings.TrimSpace((*place)[:i]), strings.TrimSpace((*place)[i+1:])
	return nil
}

// racked returns where an entry says a place and its rack, nil for one that
// says none.
func racked(e inventory.Entry) (place, rack *string) {
	switch e := e.(type) {
	case *inventory.Opened:
		return &e.Into, &e.Rack
	case *inventory.Moved:
		return &e.Into, &e.Rack
	case *inventory.Returned:
		return &e.Into, &e.Rack
	case *inventory.Baked:
		return &e.Place, &e.Rack
	}
	return nil, nil
}
