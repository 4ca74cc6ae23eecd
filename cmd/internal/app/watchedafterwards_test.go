package app_test

import (
	"testing"

	"ovenward/alerts/alarm"
	"ovenward/alerts/channel"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// TestWhatBackFilledReadingsShowIsListedAndNotSent: nothing came from the oven for a
// morning while the watch ran, and the channel was told so. The logger, read out at
// 13:00, shows an hour of cold that was over by then. A channel that was told of it
// now would call somebody to an oven that is warm.
func TestWhatBackFilledReadingsShowIsListedAndNotSent(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		route, to := channel.Route{Name: "crib"}, &receiver{}
		if err := c.app.Joined(t.Context(), "crib"); err != nil {
			t.Fatal(err)
		}
		c.open("06:40", "06:40")
		c.minute("12:59", route, to)
		to.got = nil
		c.read("07:10", "09:10", "130 C")
		c.read("09:40", "10:40", "90 C")
		c.read("11:10", "12:40", "130 C")
		c.read("13:00", "13:00", "130 C")
		c.minute("13:00", route, to)
		if len(to.got) > 0 {
			t.Errorf("told %q of what is over and was not known in time", to.subjects())
		}
		c.want("on record", c.all(), []string{"no-reading H1 07:40-13:00 late", "oven-cold H1 09:40-11:15 late, found afterwards"})
		list, err := c.app.AlarmHistory(t.Context(), alarm.Tag{Kind: alarm.OvenCold, Subject: "H1"}, c.at("00:00"), c.at("14:00"))
		if err != nil {
			t.Fatal(err)
		}
		if len(list) != 1 || list[0].Event != alarm.Afterwards || list[0].To != alarm.Normal {
			t.Errorf("history %+v, want that it was found afterwards and no more", list)
		}
	})
}

// TestAnOvenThatIsStillColdIsRaisedHoweverLateItsReadingsCome: the cold began in the
// time that was filled in and goes on.
func TestAnOvenThatIsStillColdIsRaisedHoweverLateItsReadingsCome(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "06:40")
		c.watch("12:59")
		c.read("07:10", "09:10", "130 C")
		c.read("09:40", "12:40", "90 C")
		raised, _ := c.watch("13:00")
		c.want("raised", raised, []string{"oven-cold H1 09:40- late"})
	})
}
