package timeline

import (
	"errors"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// alert returns since when a condition was raised by an instant for the slip,
// bundle, lot or place that a line names; the first time counts.
func (r *replay) alert(subject map[string]string, at measure.Instant) (map[string]string, error) {
	kind, err := alarm.ParseKind(subject["alert"])
	if err != nil {
		return nil, err
	}
	concerns, err := r.concerns(subject, at)
	if err != nil {
		return nil, err
	}
	found, err := r.app.Conditions(r.ctx, at)
	if err != nil {
		return nil, err
	}
	actual := map[string]string{"raised": none}
	for _, c := range found { // in order of since
		if c.Kind == kind && concerns(c) {
			actual["raised"], actual["why"] = r.when(c.Since), c.What
			break
		}
	}
	return actual, nil
}

// concerns returns whether a condition is about what a line names. Rods out on
// a slip may be named by the slip or by themselves. A name that there is not is
// an error: an alert that must not have been raised would never fail.
func (r *replay) concerns(subject map[string]string, at measure.Instant) (func(alarm.Condition) bool, error) {
	slip, bundle, place := subject["slip"], subject["bundle"], subject["place"]
	switch {
	case slip != "":
		s, err := r.app.Slip(r.ctx, slip, at)
		return func(c alarm.Condition) bool { return c.Bundle != "" && c.Subject == s.Slip.Code }, err
	case bundle != "":
		code, err := inventory.ParseCode(bundle)
		if err == nil {
			_, err = r.app.LotOf(r.ctx, code)
		}
		return func(c alarm.Condition) bool { return c.Bundle == code }, err
	case subject["lot"] != "":
		_, err := r.app.Trace(r.ctx, subject["lot"])
		return func(c alarm.Condition) bool { return c.Kind.OfLot() && c.Subject == subject["lot"] }, err
	case subject["sensor"] != "":
		_, err := r.app.ChecksOf(r.ctx, subject["sensor"])
		return func(c alarm.Condition) bool { return c.Kind.OfSensor() && c.Subject == subject["sensor"] }, err
	case place != "":
		p, err := r.app.Place(r.ctx, place)
		return func(c alarm.Condition) bool { return c.Kind.OfPlace() && c.Subject == p.Name }, err
	}
	return nil, errors.New("name the slip, the bundle, the lot, the sensor or the place that the alert is about")
}
