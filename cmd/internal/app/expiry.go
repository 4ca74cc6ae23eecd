package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// goodUntil returns the last day on which a bundle may go out, and what decides it.
// Without a rule set the date on the label and QA's extension do.
func (v *view) goodUntil(set *rules.Set, l inventory.Lot, b inventory.Bundle) (rules.Expiry, error) {
	if set == nil {
		set = &rules.Set{}
	}
	sub := subject(l, b)
	d := rules.Dates{Made: l.Made, Label: l.Expires, Received: measure.DateOf(b.Received, v.zone), Extended: l.Extended}
	if !b.Sealed && set.OpenedLife(sub) {
		h, err := v.history(b)
		if err != nil {
			return rules.Expiry{}, err
		}
		if at := h.Opened(); at != 0 {
			d.Opened = measure.DateOf(at, v.zone)
		}
	}
	return set.ExpiresOn(sub, d), nil
}

// dated adds the last day of a bundle to what is seen of it. Practice stock has
// none.
func (v *view) dated(l *Look, set *rules.Set) (err error) {
	if l.Lot.Status == inventory.PracticeStock {
		return nil
	}
	l.Expiry, err = v.goodUntil(set, l.Lot, l.Bundle)
	if err != nil || l.Expiry.Last == "" {
		return err
	}
	today := measure.DateOf(v.at, v.zone)
	l.Expired = today > l.Expiry.Last
	if set != nil {
		first, _ := set.Shelf.Warnings(l.Expiry)
		l.Warned = today >= first && !l.Expired
	}
	return nil
}

// inDate refuses stock that is past its last day.
func (d *desk) inDate(set *rules.Set, l inventory.Lot, b inventory.Bundle) error {
	e, err := d.goodUntil(set, l, b)
	today := measure.DateOf(d.at, d.zone)
	if err != nil || e.Last == "" || today <= e.Last {
		return err
	}
	ref := &inventory.Refusal{Code: inventory.Expired, Subject: b.Code, Value: string(today), Limit: string(e.Last),
		Why: fmt.Sprintf("lot %s was good until %s", l.Code, e.Last), Source: "date on the label",
		Next: "offer another lot; QA may extend it after a test: ovenward lot extend " + l.Code}
	if e.Extended {
		ref.Why, ref.Source = ref.Why+", to which QA had extended it", "QA: "+l.Extension
	}
	if e.Row == nil {
		return ref
	}
	ref.Rule, ref.Source = set.ID+"/"+e.Row.Row, e.Row.Source
	switch e.Row.From {
	case rules.FromOpened:
		ref.Why, ref.Next = fmt.Sprintf("an opened package of it was good until %s", e.Last), "offer a package that is still closed"
	case rules.FromReceived:
		ref.Why = fmt.Sprintf("in store since %s, it was to be inspected again by %s", measure.DateOf(b.Received, d.zone), e.Last)
		ref.Next = "offer another lot; QA inspects this one and records it: ovenward lot extend " + l.Code
	default: // counted from the day it was made
	}
	return ref
}

// extended decides whether a lot's last day is moved.
func (d *desk) extended(e *inventory.Extended) error {
	l, err := d.lot(e.Lot)
	if err != nil {
		return err
	}
	if err := d.extension(&e.Until, e.Reference); err != nil {
		return err
	}
	if e.Proposer == "" || e.Proposer == d.by {
		return &inventory.Refusal{Code: inventory.SamePerson, Subject: l.Code, Value: d.by,
			Why: "who proposes an extension does not approve it", Next: "have another person with authority record it, with --proposer naming who proposed it"}
	}
	return nil
}

// extension checks a new last day, and that a test stands behind it.
func (d *desk) extension(until *string, reference string) error {
	day, err := measure.ParseDate(*until)
	if err != nil {
		return inventory.FieldRefusal("until", err)
	}
	*until = string(day)
	today := measure.DateOf(d.at, d.zone)
	switch {
	case reference == "":
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "reference", Why: "an extension rests on a test of the lot",
			Next: "give the number of the test report with --reference"}
	case day < today:
		return &inventory.Refusal{Code: inventory.Unit, Subject: "until", Value: *until, Limit: string(today),
			Why: "that day has passed", Next: "give the new last day"}
	}
	return nil
}
