package app

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/ovendb"
	"ovenward/storage/ruledb"
)

// climateRead checks what was read of the air of a place. The open air is the
// shop; air inside of an oven is the matter of its sensors.
func (d *desk) climateRead(e *inventory.ClimateRead) error {
	p, err := d.airPlace(e.Place)
	if err != nil {
		return err
	}
	e.Place, e.Weather = p.Name, strings.TrimSpace(e.Weather)
	_, err = readAir(e.Temperature, e.Humidity)
	return err
}

// airPlace returns a place whose air is read: a shelf, or the open air.
func (v *view) airPlace(name string) (inventory.Place, error) {
	p, err := v.place(strings.TrimSpace(name))
	if err != nil {
		return p, err
	}
	if p.Kind != inventory.Shelf && p.Kind != inventory.OpenAir {
		return p, &inventory.Refusal{Code: inventory.Unknown, Subject: "place", Value: p.Name,
			Why:  fmt.Sprintf("%s is a %s: the climate is that of a store or of the shop", p.Name, p.Kind),
			Next: `name a shelf, "store", or "open air" for the shop where rods are out`}
	}
	return p, nil
}

// readAir reads a temperature and a humidity. The error is a *inventory.Refusal
// that names the field.
func readAir(temperature, humidity string) (air.Air, error) {
	t, err := measure.ParseTemperature(temperature)
	if err != nil {
		return air.Air{}, inventory.FieldRefusal("temperature", err)
	}
	h, err := measure.ParseHumidity(humidity)
	if err != nil {
		return air.Air{}, inventory.FieldRefusal("humidity", err)
	}
	a, err := air.New(t, h)
	if bad, ok := errors.AsType[*air.RangeError](err); ok {
		err = &inventory.Refusal{Code: inventory.Unit, Subject: bad.Field, Value: bad.Value, Limit: bad.Limit,
			Why:  fmt.Sprintf("no air of a shop has %s; the moisture formula is good for %s", bad.Value, bad.Limit),
			Next: "check the unit and read the instrument again"}
	}
	return a, err
}

// SayAir says what a reading of the air means in words: with its moisture, in the
// unit that the site writes.
func (a *App) SayAir(ctx context.Context, temperature, humidity string) (said string, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		read, err := readAir(temperature, humidity)
		said = v.words().Air(read)
		return err
	})
	return said, err
}

// testReported checks a test report. It must say whose rods of which class were
// tested, and where the report is filed.
func (d *desk) testReported(e *inventory.TestReported) error {
	for _, f := range []struct {
		name  string
		value *string
		next  string
	}{
		{"maker", &e.Maker, "write the maker as on the lots: a test counts for his rods alone"},
		{"reference", &e.Reference, "give the number under which the report is filed"},
	} {
		if *f.value = strings.TrimSpace(*f.value); *f.value == "" {
			return &inventory.Refusal{Code: inventory.Unknown, Subject: f.name, Why: "no " + f.name + " is named", Next: f.next}
		}
	}
	mark, err := designation.Parse(e.Class, "")
	if err != nil {
		return inventory.FieldRefusal("class", err)
	}
	e.Class = mark.Canonical
	r, err := ruledb.ReadReport(e)
	if err != nil {
		return err
	}
	if r.Exposed <= 0 {
		return &inventory.Refusal{Code: inventory.Unit, Subject: "hours", Value: e.Hours, Limit: "0:00",
			Why: "a test has a length", Next: "write how long the rods were exposed, such as 9 h"}
	}
	if _, err := readAir(e.Temperature, e.Humidity); err != nil {
		return err
	}
	return d.expiry(e)
}

// expiry checks the last day on which a report counts.
func (d *desk) expiry(e *inventory.TestReported) error {
	if e.Expires == "" {
		return nil
	}
	last, err := measure.ParseDate(e.Expires)
	if err != nil {
		return inventory.FieldRefusal("expires", err)
	}
	e.Expires = string(last)
	if today := measure.DateOf(d.at, d.zone); last < today {
		d.warn("the report counted until %s: it allows nothing from %s on", last, today)
	}
	return nil
}

// airLog returns what was read of the air of a place over at least the stretch
// asked for.
func (v *view) airLog(place string, from, to measure.Instant) (*air.Log, error) {
	if have := v.airs[place]; have != nil && have.from <= from && have.to >= to {
		return have.log, nil
	}
	list, err := ovendb.Climates(v.ctx, v.tx, v.site, place, from, to)
	if err != nil {
		return nil, err
	}
	log := air.NewLog(observations(list))
	v.airs[place] = &airRead{from: from, to: to, log: log}
	return log, nil
}

// airRead is the log of a place's air with the stretch of time it covers.
type airRead struct {
	from, to measure.Instant
	log      *air.Log
}

func observations(list []ovendb.Climate) []air.Observation {
	out := make([]air.Observation, len(list))
	for i, c := range list {
		out[i] = air.Observation{At: c.At, Air: c.Air()}
	}
	return out
}
