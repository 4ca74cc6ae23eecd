package push

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// object is a reading as a logger writes it in JSON.
type object struct {
	Sensor string          `json:"sensor"`
	Place  string          `json:"place"`
	At     string          `json:"at"`    // left out: when it came in
	Value  json.RawMessage `json:"value"` // a number, or text with its unit
	Unit   string          `json:"unit"`
}

// objects reads readings in JSON: one object, a list of them, or one after the
// other.
type objects struct {
	unit, place string
	clock       *feed.Clock
	now         measure.Instant
	in          *app.Intake
	line        int64
	arrival     bool
}

func (o *objects) read(body []byte) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if list := bytes.TrimSpace(body); len(list) > 0 && list[0] == '[' {
		var all []object
		if err := d.Decode(&all); err != nil {
			return o.broken(err)
		}
		for _, one := range all {
			o.add(one)
		}
		if _, err := d.Token(); !errors.Is(err, io.EOF) {
			return o.broken(errors.New("something stands behind the list"))
		}
		return nil
	}
	for {
		var one object
		err := d.Decode(&one)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return o.broken(err)
		}
		o.add(one)
	}
}

func (o *objects) broken(err error) error {
	return &fault{http.StatusBadRequest, fmt.Sprintf("reading %d", o.line+1), err.Error(),
		`objects such as {"place":"H1","at":"2025-06-05T07:00:00Z","value":250,"unit":"F"}`, "nothing was stored; send it again as it should be"}
}

// add reads one object. What cannot be read is kept as it is.
func (o *objects) add(one object) {
	o.line++
	name := one.Sensor
	for _, other := range []string{one.Place, o.place} {
		if name == "" {
			name = other
		}
	}
	r := feed.Row{Line: o.line, Sensor: name, At: o.now}
	flag := func(field, value string, err error) {
		o.in.Bad = append(o.in.Bad, app.Flagged{Line: o.line, Sensor: name, At: r.At, Quality: feed.Unreadable, Field: field,
			Value: value, Why: err.Error()})
	}
	if one.At == "" {
		o.arrival = true
	} else if at, err := o.clock.Instant(one.At); err != nil {
		flag("at", one.At, err)
		return
	} else {
		r.At = at
	}
	text := string(one.Value)
	if quoted := ""; json.Unmarshal(one.Value, &quoted) == nil {
		text = quoted
	}
	var err error
	if r.Temp, err = feed.ReadTemperature(text, one.Unit, o.unit); err != nil {
		flag("value", text, err)
		return
	}
	o.in.Rows = append(o.in.Rows, r)
}

// csv reads lines with a header, by the mapping of the settings.
func (h *Handler) csv(body []byte, zone *time.Location, in *app.Intake) error {
	whose := func(named string) string {
		if h.Place != "" {
			return h.Place
		}
		return named
	}
	sum, err := feed.ReadGrowing(bytes.NewReader(body), h.Mapping, zone, func(r feed.Row) error {
		r.Sensor = whose(r.Sensor)
		in.Rows = append(in.Rows, r)
		return nil
	}, func(r feed.Row, bad *feed.RowError) {
		in.Bad = append(in.Bad, app.Flagged{Line: bad.Line, Sensor: whose(r.Sensor), At: r.At, Quality: feed.Unreadable,
			Field: bad.Column, Value: bad.Value, Why: bad.Why})
	})
	in.Source.Unit = sum.Unit
	if err != nil {
		return &fault{http.StatusBadRequest, "body", err.Error(), "CSV with a header", "nothing was stored; send it again as it should be"}
	}
	return nil
}
