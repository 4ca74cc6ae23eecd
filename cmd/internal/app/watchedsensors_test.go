package app_test

import (
	"testing"

	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// H1 shows 130 °C. Found at noon to show 12 °C too much it was at 118 °C at
// worst, below the 120 °C of the reference rules. A watch that looks often and
// one that looks once at the end write the same. The oven itself was cold from
// its first reading after the check before, which is told as well, late, and over
// five minutes after it read right again, by the catalogue.
func TestAWrongSensorIsToldUntilQAHasDecided(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		for _, often := range []bool{true, false} {
			site := map[bool]string{true: "often", false: "once"}[often]
			c := newCrib(t, d, site)
			look := func(when string, raised, cleared []string) {
				if often {
					r, cl := c.watch(when)
					c.want(site+": raised at "+when, r, raised)
					c.want(site+": over at "+when, cl, cleared)
				}
			}
			c.open("06:40", "23:40")
			c.record("06:45", &inventory.Calibrated{Sensor: "H1", Error: "0 C"})
			c.issue("07:00", "S1", "K1")
			c.record("08:00", &inventory.Returned{Slip: "S1", Stubs: 40})
			look("11:59", nil, nil)
			c.record("12:00", &inventory.Calibrated{Sensor: "H1", AsFound: "12 C", Error: "0 C"})
			look("12:01", []string{"oven-cold H1 07:10- late", "sensor-wrong H1 12:00-"}, nil)
			look("12:02", nil, nil)
			c.record("12:03", &inventory.Decision{Bundle: "K1", Disposition: "bake", Why: "no hold below 120 C", Proposer: "A2"})
			look("12:04", nil, nil) // rods went out on S1: nobody has decided about them
			c.record("13:00", &inventory.Settled{Sensor: "H1", Disposition: inventory.AcceptDoubt, Why: "15 minutes at 118 C, MT found nothing", Proposer: "A2"})
			look("13:01", nil, []string{"oven-cold H1 07:10-12:15 late", "sensor-wrong H1 12:00-13:00"})
			c.record("14:00", &inventory.Calibrated{Sensor: "H1", AsFound: "1 C", Error: "0 C"})
			look("14:01", nil, nil) // 129 °C is in range
			c.watch("15:00")
			late := ""
			if !often {
				late = " late"
			}
			c.want(site+": on record", c.all(), []string{"oven-cold H1 07:10-12:15 late", "sensor-wrong H1 12:00-13:00" + late})
		}
	})
}

// Where no rods went out, decisions about the stock end it.
func TestAWrongSensorIsOverWhenEachBundleIsDecided(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "23:40")
		c.record("06:45", &inventory.Calibrated{Sensor: "H1", Error: "0 C"})
		c.record("12:00", &inventory.Calibrated{Sensor: "H1", AsFound: "12 C", Error: "0 C"})
		raised, _ := c.watch("12:01")
		c.want("raised", raised, []string{"oven-cold H1 07:10- late", "sensor-wrong H1 12:00-"})
		c.record("12:03", &inventory.Decision{Bundle: "K1", Disposition: "bake", Why: "no hold below 120 C", Proposer: "A2"})
		_, cleared := c.watch("12:04")
		c.want("over", cleared, []string{"sensor-wrong H1 12:00-12:03"})
	})
}
