package timeline

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"ovenward/inventory"
)

// Line is one fact or expectation.
type Line struct {
	Number int // in the file, from 1
	Head   Head
	Body   map[string]json.RawMessage // the fields that the verb reads
}

// Head is what any line may carry.
type Head struct {
	At      string `json:"at"`
	Do      string `json:"do"`
	ID      string `json:"id"`
	By      string `json:"by"`
	Noted   string `json:"noted"`
	Refused string `json:"refused"`
	Note    string `json:"note"` // for the reader of the file
}

func readLine(n int, text []byte) (Line, error) {
	l := Line{Number: n}
	for _, into := range []any{&l.Head, &l.Body} {
		if err := json.Unmarshal(text, into); err != nil {
			return l, &LineError{n, plain(err)}
		}
	}
	if l.Head.Do == "" {
		return l, &LineError{n, `no verb: write "do":"issue" or another`}
	}
	for _, name := range []string{"at", "do", "id", "by", "noted", "refused", "note"} {
		delete(l.Body, name)
	}
	return l, l.check()
}

// check refuses what no replay could make sense of, before anything is
// replayed. What the program itself refuses is left to the replay.
func (l Line) check() error {
	var err error
	switch l.Head.Do {
	case "expect":
		return l.checkNames()
	case "reading", "readings":
		err = l.into(&readingLine{})
	case "calibrate":
		err = l.into(&calibrationLine{})
	case "correct":
	default:
		_, err = l.entry()
	}
	if _, refused := errors.AsType[*inventory.Refusal](err); err != nil && !refused {
		return err
	}
	return l.timed()
}

// timed refuses a fact without a time. Only what the shop is made of may have
// been there before everything.
func (l Line) timed() error {
	if l.Head.At != "" || l.timeless() {
		return nil
	}
	return &LineError{l.Number, `no time: write when it happened, "at":"2025-06-05 07:00"`}
}

func (l Line) timeless() bool {
	return slices.Contains([]string{"place", "sensor", "expect"}, l.Head.Do)
}

// entry reads a line into the entry of its verb. The error is a *LineError, or
// a *inventory.Refusal for a value that a person could have typed live.
func (l Line) entry() (inventory.Entry, error) {
	e, err := inventory.NewEntry(l.Head.Do)
	if err != nil {
		return nil, &LineError{l.Number, hint(err)}
	}
	if err := l.into(e); err != nil {
		return nil, err
	}
	inTradeWords(e)
	return e, nil
}

// into reads the line's fields. A person writes a number where a name is asked
// for (slip 101) and one name where a list is; both are understood. The error
// is as that of entry.
func (l Line) into(v any) error {
	fields := maps.Clone(l.Body)
	if why, ok := fields["reason"]; ok { // as a correction calls it
		fields["why"] = why
		delete(fields, "reason")
	}
	for {
		body, err := json.Marshal(fields)
		if err != nil {
			return &LineError{l.Number, plain(err)}
		}
		err = strict(body, v)
		if err == nil {
			return nil
		}
		if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
			return ref
		}
		wrong, ok := errors.AsType[*json.UnmarshalTypeError](err)
		if ok {
			fields[wrong.Field], ok = asAsked(wrong, fields[wrong.Field])
		}
		if !ok {
			return &LineError{l.Number, plain(err)}
		}
	}
}

// asAsked turns a number into a text and one name into a list where that is
// what is asked for.
func asAsked(wrong *json.UnmarshalTypeError, raw json.RawMessage) (json.RawMessage, bool) {
	var number json.Number
	var name string
	switch wrong.Type.String() {
	case "string":
		return fmt.Appendf(nil, "%q", raw), raw != nil && raw[0] != '"' && json.Unmarshal(raw, &number) == nil
	case "[]string":
		return fmt.Appendf(nil, "[%s]", raw), json.Unmarshal(raw, &name) == nil
	}
	return raw, false
}

// strict reads one JSON object; unknown fields and anything behind it are
// errors.
func strict(text []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("more than one JSON object in a line")
	}
	return nil
}

// plain takes the jargon out of a JSON error.
func plain(err error) string {
	if wrong, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
		return fmt.Sprintf("%s: %s does not belong here", cmp.Or(wrong.Field, "line"), wrong.Value)
	}
	return strings.TrimPrefix(err.Error(), "json: ")
}

// hint is an error with its next step.
func hint(err error) string {
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		return ref.Error() + "; " + ref.Next
	}
	return err.Error()
}
