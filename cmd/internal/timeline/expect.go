package timeline

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// fieldOrder is the order in which fields are compared and shown.
var fieldOrder = []string{"refused", "verdict", "exposure", "exposure_least", "limit", "ready", "due", "warn",
	"overdue", "bakes", "pieces", "raised", "flagged", "closed", "joints", "slips", "unaccounted", "refusals", says}

// says asks for words that are among the verdict's reasons.
const says = "says"

var (
	durations = []string{"exposure", "exposure_least", "limit"}
	instants  = []string{"ready", "due", "warn", "overdue", "raised"}
	names     = []string{"alert", "slip", "bundle", "place", "trace", "welder", "rules", "known", "lot", "sensor"}
)

// none is how nothing is written: a time that is not in sight, no limit, no
// refusal. In JSON it is null.
const none = "none"

// checkNames refuses fields that no expectation has.
func (l Line) checkNames() error {
	for name := range l.Body {
		if !slices.Contains(names, name) && !slices.Contains(fieldOrder, name) {
			known := strings.Join(fieldOrder[1:], ", ")
			return &LineError{l.Number, fmt.Sprintf("cannot expect %q; use one of: %s", name, known)}
		}
	}
	return nil
}

// expect compares a line with what the program says. What the program refuses
// to speak of, a bundle that there is not, is a failed expectation.
func (r *replay) expect(l Line) error {
	at, _, err := r.times(l)
	if err != nil {
		return err
	}
	subject, wanted, err := r.asked(l)
	if err != nil {
		return err
	}
	actual, err := r.judged(subject, at)
	if ref, refused := errors.AsType[*inventory.Refusal](err); refused {
		r.note(l.refusal(ref, subject))
		return nil
	}
	if err != nil {
		return err
	}
	o := Outcome{Line: l.Number, Subject: subject, Wanted: wanted, Actual: actual}
	if l.Head.Refused != "" {
		o.Wanted["refused"], o.Actual["refused"] = l.Head.Refused, none
	}
	r.note(o)
	return nil
}

// asked reads what a line names and what it wants of it.
func (r *replay) asked(l Line) (subject, wanted map[string]string, err error) {
	subject, wanted = map[string]string{}, map[string]string{}
	for name, raw := range l.Body {
		if slices.Contains(names, name) {
			subject[name] = text(raw)
			continue
		}
		if wanted[name], err = r.wanted(name, text(raw)); err != nil {
			return nil, nil, &LineError{l.Number, fmt.Sprintf("%s: %s", name, hint(err))}
		}
	}
	return subject, wanted, nil
}

// text is a JSON value as a person would write it down: that of a text, or the
// number or word itself.
func text(raw json.RawMessage) string {
	var s string
	if string(raw) == "null" || json.Unmarshal(raw, &s) != nil {
		return strings.TrimSpace(string(raw))
	}
	return s
}

// wanted reads a wanted value into the form that actual values have.
func (r *replay) wanted(name, s string) (string, error) {
	switch {
	case s == "null":
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

// judged is actual as another rule set that ships judges it, or as it was known at an
// earlier instant, where a line asks so.
func (r *replay) judged(subject map[string]string, at measure.Instant) (actual map[string]string, err error) {
	var again app.Again
	if id := subject["rules"]; id != "" {
		if again.Set, err = rules.Shipped(id); err != nil {
			return nil, err
		}
	}
	if known := subject["known"]; known != "" {
		if again.Known, err = app.ParseInstant(known, r.zone); err != nil {
			return nil, err
		}
	}
	if again == (app.Again{}) {
		return r.actual(subject, at)
	}
	err = r.app.JudgeAgain(r.ctx, again, func(then *app.App) error {
		other := *r
		other.app = then
		actual, err = other.actual(subject, at)
		return err
	})
	return actual, err
}

// actual returns every field of what a line names.
func (r *replay) actual(subject map[string]string, at measure.Instant) (map[string]string, error) {
	switch {
	case subject["alert"] != "":
		return r.alert(subject, at)
	case subject["slip"] != "":
		s, err := r.app.Slip(r.ctx, subject["slip"], at)
		return r.slipFields(s), err
	case subject["trace"] != "":
		t, err := r.app.Trace(r.ctx, subject["trace"])
		return traceFields(t), err
	case subject["welder"] != "":
		return r.turnedAway(subject["welder"], at)
	case subject["bundle"] != "":
		l, err := r.app.At(r.ctx, subject["bundle"], at, "")
		return r.bundleFields(l), err
	}
	return nil, errors.New("name a bundle, a slip, an alert, a trace or a welder")
}

func (r *replay) bundleFields(l app.Look) map[string]string {
	j := l.Judgement
	return map[string]string{
		"verdict": string(j.Verdict), "exposure": j.Most.String(), "exposure_least": j.Least.String(),
		"limit": limit(j.Limit), "ready": r.when(j.Ready), "due": r.when(j.Due), "warn": r.when(j.Warn),
		"bakes": fmt.Sprint(j.Bakes), "pieces": fmt.Sprint(l.Bundle.Pieces), "why": j.Why,
		says: said(j.Why, l.Longer),
	}
}

func (r *replay) slipFields(s app.SlipLook) map[string]string {
	j := s.Judgement
	return map[string]string{
		"due": r.when(j.Due), "warn": r.when(j.Warn), "overdue": r.when(s.Overdue),
		"verdict": string(j.Verdict), "exposure": j.Most.String(), "exposure_least": j.Least.String(),
		"flagged": flagCodes(s.Flags),
		"limit":   limit(j.Limit), "pieces": fmt.Sprint(s.Slip.Pieces), "bakes": fmt.Sprint(j.Bakes), "why": j.Why,
		says: said(j.Why, s.Longer),
	}
}

// said is the reason of a verdict with what decided its limit, where two could.
func said(why, longer string) string {
	if longer == "" {
		return why
	}
	return why + "; " + longer
}

// limit prints a limit; none where no clock runs for the stock.
func limit(d measure.Duration) string {
	if d == 0 {
		return none
	}
	return d.String()
}
