package timeline

import (
	"encoding/json"
	"maps"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// correct supersedes a fact that a line before named with its id. New values
// stand beside the verb, or in "new". The line's time, where it is not that of
// its entry, is when the fact happened in truth; so is a time in "new".
func (r *replay) correct(l Line, who string, at, noted measure.Instant) error {
	c := app.Correction{ID: factID(l.Head.ID), By: who, Noted: noted}
	if at != noted {
		c.At = at
	}
	var err error
	if c.Values, err = l.newValues(&c); err != nil {
		return err
	}
	if raw, ok := c.Values["at"]; ok {
		if c.At, err = app.ParseInstant(text(raw), r.zone); err != nil {
			return err
		}
		delete(c.Values, "at")
	}
	if c.Fact == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "fact",
			Why:  "a correction names the fact it corrects",
			Next: "give the fact an id where it is entered, and name it here"}
	}
	c.Fact = factID(c.Fact)
	_, err = r.app.Correct(r.ctx, c)
	return err
}

// newValues reads what a correction says of itself and returns the rest: the
// values that are right.
func (l Line) newValues(c *app.Correction) (map[string]json.RawMessage, error) {
	values := maps.Clone(l.Body)
	var inner map[string]json.RawMessage
	for name, into := range map[string]any{"fact": &c.Fact, "reason": &c.Reason, "void": &c.Void, "new": &inner} {
		raw, ok := values[name]
		if !ok {
			continue
		}
		if err := json.Unmarshal(raw, into); err != nil {
			return nil, &LineError{l.Number, name + ": " + plain(err)}
		}
		delete(values, name)
	}
	maps.Copy(values, inner)
	return values, nil
}
