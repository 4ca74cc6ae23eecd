package app

import (
	"fmt"
	"unicode/utf8"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
	"ovenward/storage/ovendb"
)

// longestName is how many characters a place, a sensor or a site may be named
// with: as many as a label and a column on the screen hold.
const longestName = 40

// short refuses a name that no label holds.
func short(what, name string) error {
	n := utf8.RuneCountInString(name)
	if n <= longestName {
		return nil
	}
	const shown = 20
	return &inventory.Refusal{Code: inventory.Unknown, Subject: what, Value: string([]rune(name)[:shown]) + "…",
		Limit: fmt.Sprintf("%d characters", longestName),
		Why:   fmt.Sprintf("the name has %d characters, more than a label holds", n), Next: "choose a short name, such as H1 or T-17"}
}

// named writes places and sensors in an entry as they were set up, "H1" for "h1",
// so that a fact names each in one way only.
func (d *desk) named(e inventory.Entry) error {
	for _, name := range placesIn(e) {
		if *name == "" {
			continue
		}
		p, err := stockdb.Place(d.ctx, d.tx, d.site, *name)
		switch {
		case err == nil:
			*name = p.Name
		case ignoreMissing(err) != nil:
			return err
		}
	}
	sensor := sensorIn(e)
	if sensor == nil || *sensor == "" {
		return nil
	}
	s, err := ovendb.FindSensor(d.ctx, d.tx, d.site, *sensor)
	if err == nil {
		*sensor = s.Name
	}
	return ignoreMissing(err)
}

// placesIn returns where an entry names places.
func placesIn(e inventory.Entry) []*string {
	switch e := e.(type) {
	case *inventory.PlaceSet:
		return []*string{&e.Place}
	case *inventory.SensorSet:
		return []*string{&e.Place}
	case *inventory.ShutDown:
		return []*string{&e.Place}
	case *inventory.OvenChecked:
		return []*string{&e.Place}
	case *inventory.ClimateRead:
		return []*string{&e.Place}
	case *inventory.Received:
		return []*string{&e.Into}
	case *inventory.Blended:
		return []*string{&e.Into}
	case *inventory.Issued:
		return []*string{&e.Holder}
	}
	if place, _ := racked(e); place != nil {
		return []*string{place}
	}
	return nil
}

// sensorIn returns where an entry names a sensor, nil where it names none.
func sensorIn(e inventory.Entry) *string {
	switch e := e.(type) {
	case *inventory.SensorSet:
		return &e.Sensor
	case *inventory.Calibrated:
		return &e.Sensor
	}
	return nil
}
