package timeline

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
)

// fieldOrder is the order in which fields are compared and shown.
var fieldOrder = []string{"refused", "verdict", "exposure", "exposure_least", "limit", "ready", "due", "warn", "overdue",
	"bakes", "pieces", "raised"}

var (
	durations = []string{"exposure", "exposure_least", "limit"}
	instants  = []string{"ready", "due", "warn", "overdue", "raised"}
)

// none is how a time that is not in sight is written.
const none = "none"

// expect compares a line with what the program says.
func (r *replay) expect(l Line) error {
	at, _, err := r.times(l)
	if err != nil {
		return err
	}
	o := Outcome{Line: l.Number, Wanted: map[string]string{}, Subject: map[string]string{}}
	for name, raw := range l.Body {
		switch {
		case slices.Contains([]string{"bundle", "slip", "place", "alert"}, name):
			var s string
			if err := json.Unmarshal(raw, &s); err != nil {
				return &LineError{l.Number, plain(err)}
			}
			o.Subject[name] = s
		case slices.Contains(fieldOrder, name):
			if o.Wanted[name], err = r.wanted(name, raw); err != nil {
				return &LineError{l.Number, fmt.Sprintf("%s: %s", name, hint(err))}
			}
		default:
			return &LineError{l.Number, fmt.Sprintf("cannot expect %q; use one of: %s", name, strings.Join(fieldOrder[1:], ", "))}
		}
	}
	if o.Actual, err = r.actual(o.Subject, at); err != nil {
		return err
	}
	r.overdueAsFlag(&o)
	r.note(o)
	return nil
}

// wanted reads a wanted value into the form that actual values have.
func (r *replay) wanted(name string, raw json.RawMessage) (string, error) {
	s := strings.TrimSpace(string(raw))
	if s != "null" {
		var text string
		if json.Unmarshal(raw, &text) == nil {
			s = text
		}
	}
	switch {
	case s == "null" && slices.Contains(instants, name):
		return none, nil
	case name == "overdue" && (s == "true" || s == "false"):
		return s, nil
	case slices.Contains(instants, name):
		at, err := app.ParseInstant(s, r.zone)
		return r.when(at), err
	case slices.Contains(durations, name):
		d, err := measure.ParseDuration(s)
		return d.String(), err
	}
	return s, nil
}

// overdueAsFlag lets a line ask whether a slip is overdue, instead of since
// when.
func (r *replay) overdueAsFlag(o *Outcome) {
	if want := o.Wanted["overdue"]; want == "true" || want == "false" {
		o.Actual["overdue"] = fmt.Sprint(o.Actual["overdue"] != none)
	}
}

// when prints an instant as a timeline writes it, with the zone's abbreviation
// where the local time alone would have two meanings.
func (r *replay) when(at measure.Instant) string {
	if at == 0 {
		return none
	}
	text := at.In(r.zone)
	if _, err := measure.ParseInstant(text, r.zone); err != nil {
		return text + at.Time().In(r.zone).Format(" MST")
	}
	return text
}

// actual returns every field of what a line names.
func (r *replay) actual(subject map[string]string, at measure.Instant) (map[string]string, error) {
	switch {
	case subject["alert"] != "":
		return r.alert(subject, at)
	case subject["slip"] != "":
		s, err := r.app.Slip(r.ctx, subject["slip"], at)
		return r.slipFields(s), err
	case subject["bundle"] != "":
		l, err := r.app.At(r.ctx, subject["bundle"], at, "")
		return r.bundleFields(l), err
	}
	return nil, errors.New("name a bundle, a slip or an alert")
}

func (r *replay) bundleFields(l app.Look) map[string]string {
	j := l.Judgement
	return map[string]string{
		"verdict": string(j.Verdict), "exposure": j.Most.String(), "exposure_least": j.Least.String(),
		"limit": j.Limit.String(), "ready": r.when(j.Ready), "due": r.when(j.Due), "warn": r.when(j.Warn),
		"bakes": fmt.Sprint(j.Bakes), "pieces": fmt.Sprint(l.Bundle.Pieces), "why": j.Why,
	}
}

func (r *replay) slipFields(s app.SlipLook) map[string]string {
	j := s.Judgement
	return map[string]string{
		"due": r.when(j.Due), "warn": r.when(j.Warn), "overdue": r.when(s.Overdue),
		"verdict": string(j.Verdict), "exposure": j.Most.String(), "exposure_least": j.Least.String(),
		"limit": j.Limit.String(), "pieces": fmt.Sprint(s.Slip.Pieces), "bakes": fmt.Sprint(j.Bakes), "why": j.Why,
	}
}
