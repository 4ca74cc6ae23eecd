package timeline

import (
	"encoding/json"
	"maps"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// correct supersedes a fact that a line before named with its id. New values
// stand beside the verb, or in "new"; a time there is when the fact happened in
// truth. Without one, a line whose own time is not its entry time gives it.
func (r *replay) correct(l Line, who string, at, noted measure.Instant) error {
	c := app.Correction{By: who, Noted: noted, Values: map[string]json.RawMessage{}}
	values := maps.Clone(l.Body)
	for name, into := range map[string]any{"fact": &c.Fact, "reason": &c.Reason, "void": &c.Void} {
		raw, ok := values[name]
		if !ok {
			continue
		}
		if err := json.Unmarshal(raw, into); err != nil {
			return &LineError{l.Number, plain(err)}
		}
		delete(values, name)
	}
	delete(values, "at")
	if l.Head.Noted != "" && at != noted {
		c.At = at
	}
	if raw, ok := values["new"]; ok {
		var inner map[string]json.RawMessage
		if err := json.Unmarshal(raw, &inner); err != nil {
			return &LineError{l.Number, plain(err)}
		}
		delete(values, "new")
		maps.Copy(values, inner)
	}
	if raw, ok := values["at"]; ok {
		var text string
		if err := json.Unmarshal(raw, &text); err != nil {
			return &LineError{l.Number, plain(err)}
		}
		when, err := app.ParseInstant(text, r.zone)
		if err != nil {
			return err
		}
		c.At = when
		delete(values, "at")
	}
	if c.Fact == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "fact", Why: "a correction names the fact it corrects",
			Next: "give the fact an id where it is entered, and name it here"}
	}
	c.Fact, c.Values = factID(c.Fact), values
	_, err := r.app.Correct(r.ctx, c)
	return err
}
