package timeline

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ovendb"
)

// readingLine is what the verbs reading and readings read.
type readingLine struct {
	Place   string `json:"place"`
	Sensor  string `json:"sensor"`
	Value   string `json:"value"`
	Every   string `json:"every"`
	Until   string `json:"until"`
	Confirm bool   `json:"confirm"`
}

func (r *replay) readReading(l Line) (readingLine, measure.Temperature, error) {
	var in readingLine
	if err := l.into(&in); err != nil {
		return in, 0, err
	}
	if in.Sensor == "" {
		in.Sensor = in.Place
	}
	t, err := measure.ParseTemperature(in.Value)
	if err != nil {
		return in, 0, inventory.FieldRefusal("value", err)
	}
	return in, t, nil
}

func (r *replay) reading(l Line, who string, at measure.Instant) error {
	in, t, err := r.readReading(l)
	if err != nil {
		return err
	}
	_, err = r.app.Read(r.ctx, who, in.Value, ovendb.Reading{Sensor: in.Sensor, At: at, Temp: t}, in.Confirm)
	return err
}

// readings stores one value every so often, both ends included.
func (r *replay) readings(l Line, who string, at measure.Instant) error {
	in, t, err := r.readReading(l)
	if err != nil {
		return err
	}
	every, err := measure.ParseDuration(in.Every)
	if err != nil || every <= 0 {
		return &LineError{l.Number, fmt.Sprintf("every %q: write how often, such as 30m", in.Every)}
	}
	until, err := app.ParseInstant(in.Until, r.zone)
	if err != nil {
		return err
	}
	const most = 1_000_000
	if until.Sub(at)/every > most {
		return &LineError{l.Number, fmt.Sprintf("more than %d readings in one line", most)}
	}
	first := ovendb.Reading{Sensor: in.Sensor, At: at, Temp: t}
	if _, err := r.app.Read(r.ctx, who, in.Value, first, in.Confirm); err != nil {
		return err
	}
	s, err := r.app.Sensor(r.ctx, who, in.Sensor, at)
	if err != nil {
		return err
	}
	var list []ovendb.Reading
	for i := at.Add(every); i <= until; i = i.Add(every) {
		list = append(list, ovendb.Reading{Sensor: s.Name, At: i, Temp: t})
	}
	_, err = r.app.AddReadings(r.ctx, list)
	return err
}
