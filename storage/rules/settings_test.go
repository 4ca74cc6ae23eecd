package rules_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/storage/rules"
)

func TestSettingsChangeACopyAndMarkIt(t *testing.T) {
	t.Parallel()
	s := shipped(t, "reference-running")
	changed, err := s.With(map[string]string{
		"clock.policy": "summed", "clock.warn_percent": "50", "return.at_limit": "hold",
		"evidence.max_gap": "30m", "evidence.missing": "open", "oven.excursion": "qa-hold",
		"bake.max": "3", "bake.load_lag": "0:30", "first_bake.counts": "false",
		"issue.max_hours": "2h", "stubs.count": "true", "hold.max_days": "10", "packet.limit": "12h",
	})
	if err != nil {
		t.Fatal(err)
	}
	wantClock := rules.Clock{Policy: rules.Summed, WarnPercent: 50, ReturnAtLimit: rules.HoldAtLimit}
	wantBakes := rules.Bakes{Max: 3, FirstCounts: false, LoadLag: span(t, "30m")}
	if changed.Clock != wantClock || changed.Bakes != wantBakes ||
		changed.Evidence != (rules.Evidence{MaxGap: span(t, "30m"), Missing: rules.MissingOpen}) ||
		changed.Oven.Excursion != rules.ExcursionQAHold ||
		changed.Issue.MaxHours != span(t, "2h") || !changed.Stubs.Count {
		t.Errorf("changed to %+v %+v %+v %+v", changed.Clock, changed.Evidence, changed.Oven, changed.Bakes)
	}
	r, err := changed.Resolve(stock(t, "E7018"))
	if err != nil || r.Packet.Limit != span(t, "12h") || r.Holding.MaxDays != 10 {
		t.Errorf("packet %+v, holding %+v (%v), want 12 h and 10 days", r.Packet, r.Holding, err)
	}
	if !strings.HasPrefix(changed.Edition, s.Edition+" +bake.load_lag=0:30 +bake.max=3") {
		t.Errorf("edition %q does not name what was changed", changed.Edition)
	}
	if s.Clock.Policy != rules.Running || s.Bakes.Max != 1 || len(s.Packet) != 0 || s.Edition != "1" {
		t.Errorf("the set itself was changed: %+v", s)
	}
	if same, err := s.With(nil); err != nil || same != s {
		t.Errorf("With(nil) = %p, %v, want the set itself", same, err)
	}
}

func TestWrongSettingsAreRefusedByName(t *testing.T) {
	t.Parallel()
	s := shipped(t, "reference-running")
	_, err := s.With(map[string]string{"bake.maximum": "3"})
	ref, ok := errors.AsType[*inventory.Refusal](err)
	if !ok || ref.Code != inventory.Unknown || !strings.Contains(ref.Next, "bake.max, ") {
		t.Errorf("With(bake.maximum) = %v, want the refusal unknown with the names there are", err)
	}
	for name, value := range map[string]string{
		"clock.policy": "fast", "clock.warn_percent": "0", "return.at_limit": "", "evidence.max_gap": "60",
		"evidence.missing": "kept", "oven.excursion": "none", "bake.max": "-1", "bake.load_lag": "half",
		"first_bake.counts": "maybe", "issue.max_hours": "two", "stubs.count": "2", "hold.max_days": "0",
		"packet.limit": "0:00",
	} {
		if _, err := s.With(map[string]string{name: value}); err == nil {
			t.Errorf("%s = %q was taken", name, value)
		} else if !strings.HasPrefix(err.Error(), "setting "+name+": ") {
			t.Errorf("%s = %q: %v does not name the setting", name, value, err)
		}
	}
	_, err = s.With(map[string]string{"evidence.max_gap": "-1h"})
	want := "setting evidence.max_gap: reference-running: evidence.max_gap is -1:00: " +
		"write a time that is not negative"
	if err == nil || err.Error() != want {
		t.Errorf("With(-1h) = %v, want %s", err, want)
	}
}
