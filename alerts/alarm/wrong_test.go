package alarm_test

import (
	"fmt"
	"strings"
	"testing"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

func TestAWrongSensorSaysWhatItTouchedAndWhatToDo(t *testing.T) {
	t.Parallel()
	w := alarm.Wrong{Sensor: "T-17", Place: "H1", Found: 12 * measure.Degree, Since: clock("06:00"), Check: clock("12:00"), Compared: 9, Changed: 4,
		Bundles: []string{"K1"}, Slips: []string{"S1", "S2"}, Joints: []string{"J-101"}, Words: alarm.Words{Zone: zone()}}
	c := w.Condition()
	if c.Kind != alarm.SensorWrong || c.Subject != "T-17" || c.Since != clock("12:00") || c.Until != 0 || c.Priority != alarm.High {
		t.Errorf("condition %+v", c)
	}
	if want := "T-17 read 12 °C high from 2025-06-05 06:00 to 12:00: 4 of 9 judgements come out differently"; c.What != want {
		t.Errorf("what %q, want %q", c.What, want)
	}
	if want := "judged by readings that were not true: stock K1; slips S1, S2; joints J-101"; c.Consequence != want {
		t.Errorf("consequence %q, want %q", c.Consequence, want)
	}
	if !strings.Contains(c.Action, "ovenward oven affected T-17") || !strings.Contains(c.Action, "ovenward decide sensor T-17") {
		t.Errorf("action %q", c.Action)
	}
	w.Joints = nil
	if c := w.Condition(); !strings.HasSuffix(c.Consequence, "no joint is named on the slips: QA must find where the rods went") {
		t.Errorf("consequence %q", c.Consequence)
	}
}

// An alarm is read at a glance: of many names it tells some and counts the rest.
func TestManyTouchedJointsAreCounted(t *testing.T) {
	t.Parallel()
	w := alarm.Wrong{Sensor: "T-17", Found: -12 * measure.Degree, Check: clock("12:00"), Words: alarm.Words{Zone: zone()}}
	for i := range 9 {
		w.Joints = append(w.Joints, fmt.Sprintf("J-%d", i))
	}
	c := w.Condition()
	if !strings.HasSuffix(c.Consequence, "joints J-0, J-1, J-2, J-3, J-4, J-5 and 3 more") {
		t.Errorf("consequence %q", c.Consequence)
	}
	if !strings.HasPrefix(c.What, "T-17 read 12 °C low from the first reading to 2025-06-05 12:00") {
		t.Errorf("what %q", c.What)
	}
}
