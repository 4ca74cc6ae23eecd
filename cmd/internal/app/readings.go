package app

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/evidence"
	"ovenward/storage/ovendb"
)

// Limits of what a sensor in the trade can show. A value outside is a slip of
// the unit or of the finger, and is asked about before it is evidence.
var (
	coldest     = measure.Celsius(-60)
	hottestHold = measure.Celsius(200)
	hottestBake = measure.Celsius(600)
)

// Read stores one reading of a sensor, or of a place with a single sensor; the
// first reading of a place makes a sensor of its name. Confirmed says that a
// value outside the plausible range was looked at and is true. The error is a
// *inventory.Refusal for a value that was not confirmed.
func (a *App) Read(ctx context.Context, by, at string, r ovendb.Reading, confirmed bool) (added bool, err error) {
	known, err := a.TryRead(ctx, at, r, confirmed)
	if known || err != nil {
		return false, err
	}
	sensor, err := a.Sensor(ctx, by, r.Sensor, r.At)
	if err != nil {
		return false, err
	}
	r.Sensor = sensor.Name
	n, err := a.addFrom(ctx, ovendb.Source{Kind: ovendb.Typed, Name: strings.TrimSpace(by), Unit: unitWritten(at)}, []ovendb.Reading{r})
	return n == 1, err
}

// TryRead says whether a reading is known already, and writes nothing. Its errors
// are those of Read.
func (a *App) TryRead(ctx context.Context, at string, r ovendb.Reading, confirmed bool) (known bool, err error) {
	sensor, err := a.findSensor(ctx, r.Sensor)
	if err != nil {
		return false, err
	}
	if err := a.plausible(ctx, sensor, r, at, confirmed); err != nil || sensor.Name == "" {
		return false, err
	}
	there, err := a.ReadBetween(ctx, sensor.Name, r.At, r.At)
	return len(there) > 0, err
}

// AddReadings stores readings of known sensors in one transaction and returns
// how many were new.
func (a *App) AddReadings(ctx context.Context, list []ovendb.Reading) (added int64, err error) {
	return a.addFrom(ctx, ovendb.Source{Kind: ovendb.Typed}, list)
}

func (a *App) addFrom(ctx context.Context, s ovendb.Source, list []ovendb.Reading) (added int64, err error) {
	err = a.DB.Write(ctx, func(tx *sqlx.Tx) error {
		n, err := ovendb.SourceNumber(ctx, tx, a.Site, s)
		if err != nil {
			return err
		}
		added, err = ovendb.Add(ctx, tx, a.Site, ovendb.Arrival{Noted: a.now(), Source: n}, list)
		return err
	})
	return added, err
}

// unitWritten is the unit that a temperature was written in.
func unitWritten(text string) string {
	switch text = strings.ToUpper(strings.TrimSpace(text)); {
	case strings.HasSuffix(text, "C"):
		return "C"
	case strings.HasSuffix(text, "F"):
		return "F"
	}
	return ""
}

// Sensor returns the sensor of a name, or the one sensor of a place of that
// name, which it sets up where the place has none.
func (a *App) Sensor(ctx context.Context, by, name string, at measure.Instant) (ovendb.Sensor, error) {
	found, err := a.findSensor(ctx, name)
	if err != nil || found.Name != "" {
		return found, err
	}
	name = found.Place
	_, err = a.Record(ctx, Request{At: at, Noted: max(at, a.now()), By: by, Entry: &inventory.SensorSet{Sensor: name, Place: name}})
	return ovendb.Sensor{Name: name, Place: name}, err
}

// findSensor returns a sensor without a name and no error for a place that has none
// yet. A place of the very name goes before a sensor that is written in other
// letters.
func (a *App) findSensor(ctx context.Context, name string) (found ovendb.Sensor, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		found, err = ovendb.FindSensor(ctx, v.tx, a.Site, name)
		if found.Name == name || (err != nil && !errors.Is(err, db.ErrNotFound)) {
			return err
		}
		p, unknown := v.place(name)
		if unknown != nil && found.Name != "" {
			return nil
		}
		if unknown != nil || (found.Name != "" && p.Name != name) {
			return unknown
		}
		found = ovendb.Sensor{Place: p.Name}
		at, err := ovendb.Sensors(ctx, v.tx, a.Site, p.Name)
		switch {
		case err != nil || len(at) == 0:
			return err
		case len(at) > 1:
			return &inventory.Refusal{Code: inventory.Unknown, Subject: name, Value: name,
				Why: fmt.Sprintf("%d sensors are at %s", len(at), name), Next: "name the sensor that was read"}
		}
		found = at[0]
		return nil
	})
	return found, err
}

// plausible refuses a reading that no oven of the kind shows.
func (a *App) plausible(ctx context.Context, s ovendb.Sensor, r ovendb.Reading, text string, confirmed bool) error {
	if confirmed {
		return nil
	}
	return a.read(ctx, 0, func(v *view) error {
		p, err := v.place(s.Place)
		if err != nil {
			return err
		}
		return Plausible(p, r.Temp, text)
	})
}

// hottest is the highest temperature that a place of a kind shows.
func hottest(k inventory.PlaceKind) measure.Temperature {
	if k == inventory.BakeOven {
		return hottestBake
	}
	return hottestHold
}

// implausibleAt reports whether no place of the kind shows a temperature.
func implausibleAt(p inventory.Place, t measure.Temperature) bool {
	return t > hottest(p.Kind) || t < coldest
}

// Plausible refuses a temperature that no place of the kind shows.
func Plausible(p inventory.Place, t measure.Temperature, text string) error {
	top := hottest(p.Kind)
	if !implausibleAt(p, t) {
		return nil
	}
	return &inventory.Refusal{Code: inventory.Unit, Subject: p.Name, Value: text, Limit: fmt.Sprintf("%s to %s", coldest, top),
		Why:  fmt.Sprintf("%s in a %s", t.InBoth(measure.SI), p.Kind),
		Next: "check the unit: 250F is " + measure.Fahrenheit(250).String() + "; if the reading is true, enter it again with --confirm"}
}

// SensorReadings are readings of one sensor as it showed them, not corrected for
// its error, in order of time.
type SensorReadings struct {
	Sensor string
	List   []evidence.Reading
}

// Readings returns what the sensors of a place, or one sensor, showed from one
// instant to another, both included. The error is a *inventory.Refusal for a name
// that there is not.
func (a *App) Readings(ctx context.Context, name string, from, to measure.Instant) (list []SensorReadings, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		sensors, err := v.sensorsNamed(name)
		if err != nil {
			return err
		}
		list = nil
		for _, s := range sensors {
			readings, err := ovendb.KnownReadings(ctx, v.kept(), a.Site, s.Name, from, to, v.known)
			if err != nil {
				return err
			}
			list = append(list, SensorReadings{Sensor: s.Name, List: readings})
		}
		return nil
	})
	return list, err
}

// sensorsNamed returns the sensors of a place, or the one of a name.
func (v *view) sensorsNamed(name string) ([]ovendb.Sensor, error) {
	one, err := ovendb.FindSensor(v.ctx, v.tx, v.site, name)
	if ignoreMissing(err) != nil {
		return nil, err
	}
	p, unknown := v.place(name)
	switch {
	case err == nil && one.Place != p.Name && (one.Name == name || p.Name != name): // its place may have others
		return []ovendb.Sensor{one}, nil
	case unknown != nil:
		return nil, unknown
	}
	return ovendb.Sensors(v.ctx, v.tx, v.site, p.Name)
}
