package app

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
	"ovenward/storage/ruledb"
	"ovenward/storage/rules"
)

func (d *desk) siteSet(e *inventory.SiteSet) error {
	if err := short("site", d.site); err != nil {
		return err
	}
	if _, err := time.LoadLocation(e.Zone); err != nil || e.Zone == "" || e.Zone == "Local" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "zone", Value: e.Zone, Why: fmt.Sprintf("unknown time zone %q", e.Zone),
			Next: "give the IANA name of the shop's zone, such as America/Halifax or Europe/Oslo"}
	}
	if e.Units == "" {
		e.Units = measure.SI
	}
	if e.Units != measure.SI && e.Units != measure.US {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "units", Value: string(e.Units), Why: fmt.Sprintf("unknown units %q", e.Units),
			Next: "write SI or US"}
	}
	return siteHabits(e)
}

// siteHabits checks the shifts and the stub targets of a site, and writes them
// in their one form.
func siteHabits(e *inventory.SiteSet) error {
	if e.Shifts != "" {
		shifts, err := inventory.ParseShifts(e.Shifts)
		if err != nil {
			return err
		}
		e.Shifts = inventory.ShiftsText(shifts)
	}
	if e.Stubs == "" {
		return nil
	}
	targets, err := inventory.ParseStubTargets(e.Stubs)
	e.Stubs = targets.String()
	return err
}

func (d *desk) placeSet(e *inventory.PlaceSet) error {
	if e.Place = strings.TrimSpace(e.Place); e.Place == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "place", Why: "the place has no name", Next: "name it, such as H1"}
	}
	if err := short("place", e.Place); err != nil {
		return err
	}
	if _, ok := inventory.Reserved(e.Place); ok {
		return &inventory.Refusal{Code: inventory.Duplicate, Subject: "place", Value: e.Place,
			Why: "the name is kept for a condition that every site has", Next: "choose another name"}
	}
	kind, err := inventory.ParsePlaceKind(e.SortKind)
	if err != nil {
		return err
	}
	have, err := stockdb.Place(d.ctx, d.tx, d.site, e.Place)
	if err != nil || have.Kind == kind {
		return ignoreMissing(err)
	}
	return d.sameKind(have)
}

// sameKind refuses to make another kind of place of one that stock has been in:
// what is known of that stock rests on what the place was.
func (d *desk) sameKind(p inventory.Place) error {
	used, err := stockdb.WasIn(d.ctx, d.tx, d.site, p.Name)
	if err != nil || !used {
		return err
	}
	return &inventory.Refusal{Code: inventory.Duplicate, Subject: "place", Value: p.Name, Limit: string(p.Kind),
		Why: fmt.Sprintf("%s is a %s, and stock has been in it", p.Name, p.Kind), Next: "give the other place a name of its own"}
}

func (d *desk) sensorSet(e *inventory.SensorSet) error {
	if e.Sensor = strings.TrimSpace(e.Sensor); e.Sensor == "" {
		e.Sensor = e.Place
	}
	if err := short("sensor", e.Sensor); err != nil {
		return err
	}
	if _, err := d.place(e.Place); err != nil {
		return err
	}
	return d.position(e)
}

// position refuses to put a sensor with readings elsewhere in its place: what
// they were taken for would change.
func (d *desk) position(e *inventory.SensorSet) error {
	switch evidence.Position(e.Position) {
	case "", evidence.InAir, evidence.InLoad:
	default:
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "position", Value: e.Position,
			Why: fmt.Sprintf("unknown position %q", e.Position), Next: "write air, or load for a sensor among the rods"}
	}
	have, err := ovendb.FindSensor(d.ctx, d.tx, d.site, e.Sensor)
	isIn, wasIn := e.Position == string(evidence.InLoad), have.Position == evidence.InLoad
	if err != nil || isIn == wasIn {
		return ignoreMissing(err)
	}
	first, err := ovendb.FirstFrom(d.ctx, d.tx, d.site, e.Sensor, 0)
	if err != nil || first == 0 {
		return err
	}
	return &inventory.Refusal{Code: inventory.Duplicate, Subject: "sensor", Value: e.Sensor, Limit: string(have.Position),
		Why:  fmt.Sprintf("%s has readings since %s from where it was", e.Sensor, first.In(d.zone)),
		Next: "give the sensor a name of its own for its new position"}
}

// rulesApproved freezes a set: its rows from memory must each be confirmed,
// and a set that was approved is never changed under its name.
func (d *desk) rulesApproved(e *inventory.RulesApproved) error {
	s, err := rules.Parse(e.ID, []byte(e.Text))
	if err != nil {
		return err
	}
	e.ID, e.Edition, e.Digest = s.ID, s.Edition, s.Digest
	var open []string
	for _, m := range s.Unconfirmed() {
		if !slices.Contains(e.Confirmed, m.Row) {
			open = append(open, m.Row)
		}
	}
	if len(open) > 0 {
		return &inventory.Refusal{Code: inventory.RulesNotApproved, Subject: s.ID, Value: strings.Join(open, ", "),
			Why:  fmt.Sprintf("%d rows were written from memory and not confirmed: %s", len(open), strings.Join(open, ", ")),
			Next: "compare each with your own copy of the code, then approve with --confirm " + strings.Join(slices.Concat(e.Confirmed, open), ",")}
	}
	have, err := ruledb.Find(d.ctx, d.tx, d.site, s.ID)
	if errors.Is(err, db.ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	return &inventory.Refusal{Code: inventory.Duplicate, Subject: s.ID, Value: s.ID,
		Why:  fmt.Sprintf("edition %s was approved by %s on %s and is frozen", have.Edition, have.By, have.At.In(d.zone)),
		Next: "give the changed set an id of its own, such as " + s.ID + "-2, and approve that"}
}
