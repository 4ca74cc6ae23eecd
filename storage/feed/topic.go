package feed

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"ovenward/inventory/measure"
)

// Topic says which messages of a broker are readings and how they are written.
type Topic struct {
	Pattern string // of topics: shop/ovens/{sensor}/temp, a level {sensor} names whose they are, + is any
	Place   string // whose they are where no level says
	Value   string // path of the temperature in JSON, such as probe.temp; empty: the message is the number
	Time    string // path of the time; empty: when it came in
	Unit    string // "C" or "F" of numbers that do not say
}

const sensorLevel = "{sensor}"

// Check says what is wrong with the pattern, nil if nothing is.
func (t Topic) Check() error {
	named := 0
	for _, level := range strings.Split(t.Pattern, "/") {
		switch {
		case level == sensorLevel:
			named++
		case level == "+":
		case level == "" || strings.ContainsAny(level, "+#{}\x00"):
			return fmt.Errorf("%q: levels apart by /, each a name, + or {sensor}", t.Pattern)
		}
	}
	if (named == 1) == (t.Place != "") || named > 1 {
		return errors.New("name one level {sensor}, or give place")
	}
	return nil
}

// Filter is what a broker is asked for.
func (t Topic) Filter() string { return strings.ReplaceAll(t.Pattern, sensorLevel, "+") }

// Match returns whose readings the messages of a topic are; false where they are
// not of the pattern.
func (t Topic) Match(topic string) (sensor string, ok bool) {
	want, got := strings.Split(t.Pattern, "/"), strings.Split(topic, "/")
	if len(want) != len(got) {
		return "", false
	}
	sensor = t.Place
	for i, level := range want {
		switch {
		case level == sensorLevel:
			sensor = got[i]
		case level != "+" && level != got[i]:
			return "", false
		}
	}
	return sensor, sensor != ""
}

// Read reads a message that came in at an instant. The clock reads its time. The
// error is a *FieldError.
func (t Topic) Read(payload []byte, clock *Clock, came measure.Instant) (r Row, err error) {
	r.At = came
	if t.Time != "" {
		text, err := at(payload, t.Time)
		if err == nil {
			r.At, err = clock.Instant(text)
		}
		if err != nil {
			r.At = 0
			return r, &FieldError{Field: t.Time, Value: text, Why: err.Error()}
		}
	}
	text := string(bytes.TrimSpace(payload))
	if t.Value != "" {
		if text, err = at(payload, t.Value); err != nil {
			return r, &FieldError{Field: t.Value, Value: text, Why: err.Error()}
		}
	}
	if r.Temp, err = ReadTemperature(text, "", t.Unit); err != nil {
		return r, &FieldError{Field: "value", Value: text, Why: because(err)}
	}
	return r, nil
}

// FieldError is a part of a message that cannot be read.
type FieldError struct{ Field, Value, Why string }

// Error says which part, what it is and what is wrong.
func (e *FieldError) Error() string { return fmt.Sprintf("%s %q: %s", e.Field, e.Value, e.Why) }

// at returns the number or the text at a path in JSON.
func at(payload []byte, path string) (string, error) {
	rest := json.RawMessage(payload)
	for name := range strings.SplitSeq(path, ".") {
		var object map[string]json.RawMessage
		if err := json.Unmarshal(rest, &object); err != nil {
			return string(rest), fmt.Errorf("no JSON object that has %q", name)
		}
		found, ok := object[name]
		if !ok {
			return "", fmt.Errorf("there is no %q", name)
		}
		rest = found
	}
	text := ""
	if json.Unmarshal(rest, &text) == nil {
		return text, nil
	}
	return string(rest), nil
}
