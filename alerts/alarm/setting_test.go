package alarm_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// TestTheCatalogueSaysWhatToDo: consequence, action, who acts and source of every
// kind; what is arithmetic on recorded facts has neither delay nor deadband.
func TestTheCatalogueSaysWhatToDo(t *testing.T) {
	t.Parallel()
	for _, e := range alarm.Shipped().Entries() {
		if e.Consequence == "" || e.Action == "" || e.Who == "" || e.Source == "" || e.Priority.Compare(alarm.Low) > 0 {
			t.Errorf("%s says too little: %+v", e.Kind, e)
		}
		if e.Deadline && (e.On != 0 || e.Off != 0 || e.Deadband != 0) {
			t.Errorf("%s is a deadline with a delay or a deadband: %+v", e.Kind, e)
		}
	}
}

// TestTheStarterFiguresShip: those of the starter catalogue for what an oven shows.
func TestTheStarterFiguresShip(t *testing.T) {
	t.Parallel()
	for kind, want := range map[alarm.Kind]alarm.Entry{
		alarm.OvenCold: {Priority: alarm.High, On: 10 * measure.Minute, Deadband: 2 * measure.Degree, Off: 5 * measure.Minute,
			Shelf: 12 * measure.Hour, Second: true, Escalate: []alarm.Step{{After: 30 * measure.Minute, To: "qa"}}},
		alarm.OvenHot: {Priority: alarm.Medium, On: 5 * measure.Minute, Deadband: 2 * measure.Degree, Off: 5 * measure.Minute,
			Shelf: 12 * measure.Hour},
		alarm.ProbeStuck: {Priority: alarm.Low, On: 6 * measure.Hour, Deadband: measure.Degree / 10, Shelf: 7 * measure.Day},
		alarm.ExposurePast: {Priority: alarm.High, Escalate: []alarm.Step{{After: 15 * measure.Minute, To: "supervisor"},
			{After: measure.Hour, To: "qa"}}},
	} {
		e := alarm.Shipped().Of(kind)
		got := alarm.Entry{Priority: e.Priority, On: e.On, Deadband: e.Deadband, Off: e.Off, Shelf: e.Shelf, Second: e.Second, Escalate: e.Escalate}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", kind, diff)
		}
	}
}

func TestAShopChangesSingleFigures(t *testing.T) {
	t.Parallel()
	no := false
	c, err := alarm.Shipped().With([]alarm.Setting{
		{Kind: "oven-cold", Priority: "medium", On: "3m", Deadband: "9 F", Off: "0:01", Shelve: "2h", Second: &no, Realarm: "never",
			Escalate: []string{"5m foreman", "1:00 qa"}, Who: "foreman"},
		{Kind: "hold-complete", Action: "tell the foreman"},
	})
	if err != nil {
		t.Fatal(err)
	}
	e := c.Of(alarm.OvenCold)
	want := alarm.Shipped().Of(alarm.OvenCold)
	want.Priority, want.On, want.Deadband, want.Off = alarm.Medium, 3*measure.Minute, 5*measure.Degree, measure.Minute
	want.Shelf, want.Second, want.Realarm, want.Who, want.Status = 2*measure.Hour, false, 0, "foreman", alarm.Changed
	want.Escalate = []alarm.Step{{After: 5 * measure.Minute, To: "foreman"}, {After: measure.Hour, To: "qa"}}
	if diff := cmp.Diff(want, e); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if got := c.Apply(alarm.Condition{Kind: alarm.OvenCold, Priority: alarm.High}); got.Priority != alarm.Medium {
		t.Errorf("a cold oven is %s, the shop has said medium", got.Priority)
	}
	if got := c.Apply(alarm.Condition{Kind: alarm.OvenHot, Priority: alarm.Low}); got.Priority != alarm.Low {
		t.Errorf("an empty oven that is too hot is %s, nobody has said otherwise than low", got.Priority)
	}
	if got := c.Apply(alarm.Condition{Kind: alarm.HoldComplete, Since: 5}); got.Until != 5 {
		t.Errorf("an event stands until %d, want it over as it begins", got.Until)
	}
	if diff := cmp.Diff(alarm.Shipped().Of(alarm.OvenHot), c.Of(alarm.OvenHot)); diff != "" {
		t.Errorf("what was not set has changed:\n%s", diff)
	}
}

func TestSettingsThatCannotBeAreRefused(t *testing.T) {
	t.Parallel()
	yes := true
	for field, s := range map[string]alarm.Setting{
		"kind":      {Kind: "oven-lukewarm"},
		"priority":  {Kind: "oven-cold", Priority: "urgent"},
		"on_delay":  {Kind: "exposure-past", On: "1m"},
		"off_delay": {Kind: "no-reading", Off: "1m"},
		"deadband":  {Kind: "exposure-near", Deadband: "1 C"},
		"shelve":    {Kind: "exposure-past", Shelve: "1m"},
		"realarm":   {Kind: "oven-cold", Realarm: "often"},
		"escalate":  {Kind: "oven-cold", Escalate: []string{"qa"}},
		"deadline":  {Kind: "oven-cold", Deadline: &yes},
		"event":     {Kind: "oven-cold", Event: &yes},
	} {
		_, err := alarm.Shipped().With([]alarm.Setting{s})
		if got, ok := err.(*alarm.SettingError); !ok || got.Field != field || got.Kind != s.Kind {
			t.Errorf("%+v: %v, want a fault of %s", s, err, field)
		}
	}
	if _, err := alarm.Shipped().With(slices.Repeat([]alarm.Setting{{Kind: "oven-cold", On: "1m"}}, 2)); err == nil {
		t.Error("a kind is set twice and nobody is told")
	}
}
