package config

import (
	"net"
	"time"

	"ovenward/cmd/internal/register"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

type writtenDevice struct {
	Name    string         `toml:"name"`
	Address string         `toml:"address"`
	Within  string         `toml:"within"`
	Points  []writtenPoint `toml:"point"`
}

type writtenPoint struct {
	Place        string   `toml:"place"`
	UnitID       *int     `toml:"unit_id"`
	Kind         string   `toml:"kind"`
	Register     *int     `toml:"register"`
	Form         string   `toml:"form"`
	LowWordFirst bool     `toml:"low_word_first"`
	Scale        *float64 `toml:"scale"`
	Offset       float64  `toml:"offset"`
	Unit         string   `toml:"unit"`
	Broken       []int64  `toml:"broken"`
}

// Bounds on how long a device has to answer: a poll ends within its minute.
const (
	usualWithin = 2 * measure.Second
	mostWithin  = 10 * measure.Second
)

// devices reads the tables of devices.
func (r reader) devices(list []writtenDevice) (out []register.Settings, err error) {
	names := map[string]bool{}
	for i, w := range list {
		at := r.at("readings.modbus", w.Name, i)
		one, err := at.device(w)
		if err != nil {
			return nil, err
		}
		if names[one.Name] {
			return nil, at.fault("name", "another device has this name")
		}
		names[one.Name] = true
		out = append(out, one)
	}
	return out, nil
}

func (r reader) device(w writtenDevice) (s register.Settings, err error) {
	s = register.Settings{Name: w.Name, Address: w.Address}
	if w.Name == "" {
		return s, r.fault("name", "a device has a name")
	}
	if host, port, err := net.SplitHostPort(w.Address); err != nil || host == "" || port == "" {
		return s, r.fault("address", "%q: host and port, such as 10.0.0.7:502", w.Address)
	}
	within := usualWithin
	if w.Within != "" {
		if within, err = measure.ParseDuration(w.Within); err != nil || within <= 0 || within > mostWithin {
			return s, r.fault("within", "%q: how long it has to answer, %s at most", w.Within, mostWithin.Words())
		}
	}
	s.Within = time.Duration(within) * time.Microsecond
	if len(w.Points) == 0 {
		return s, r.fault("point", "say what it has in a [[readings.modbus.point]]")
	}
	for _, p := range w.Points {
		one, err := r.point(p)
		if err != nil {
			return s, err
		}
		s.Points = append(s.Points, one)
	}
	return s, nil
}

func (r reader) point(w writtenPoint) (p register.Point, err error) {
	p = register.Point{Sensor: w.Place, Input: w.Kind == "input", Unit: 1, Register: feed.Register{Form: w.Form,
		LowHigh: w.LowWordFirst, Scale: 1, Offset: w.Offset, Unit: w.Unit, Broken: w.Broken}}
	const highest = 247 // of a unit, by the protocol; 0 asks all and is answered by none, 255 is a device without others behind it
	switch {
	case w.Place == "":
		return p, r.fault("point.place", "say which place or sensor it is of")
	case w.Kind != "input" && w.Kind != "holding":
		return p, r.fault("point.kind", "%q: use holding or input", w.Kind)
	case w.UnitID != nil && (*w.UnitID < 1 || *w.UnitID > highest) && *w.UnitID != 255:
		return p, r.fault("point.unit_id", "%d: 1 to %d, or 255", *w.UnitID, highest)
	case w.Register == nil || *w.Register < 0 || *w.Register > 65535:
		return p, r.fault("point.register", "say which, 0 to 65535, counted from 0: 40001 of a handbook is holding register 0")
	case p.Words() == 0:
		return p, r.fault("point.form", "%q: use int16, uint16, int32, uint32 or float32", w.Form)
	case w.Unit == "":
		return p, r.fault("point.unit", "a device does not say: use C or F")
	case w.Scale != nil && *w.Scale == 0:
		return p, r.fault("point.scale", "0 would make everything cold: use 0.1 for tenths")
	}
	p.Address = uint16(*w.Register)
	if w.UnitID != nil {
		p.Unit = uint8(*w.UnitID)
	}
	if w.Scale != nil {
		p.Scale = *w.Scale
	}
	return p, r.unit(w.Unit)
}
