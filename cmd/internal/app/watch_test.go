package app_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// want compares what a watch said with what it had to say.
func (c *crib) want(what string, got, want []string) {
	c.t.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		c.t.Errorf("%s (-want +got):\n%s", what, diff)
	}
}

// TestTheWatchSaysEachThingOnceAndWhenItIsOver follows timelines S01 and S02.
func TestTheWatchSaysEachThingOnceAndWhenItIsOver(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "23:40")
		c.issue("07:00", "S1", "K1")
		c.issue("07:00", "S2", "K1")
		for _, step := range []struct {
			when            string
			raised, cleared []string
		}{
			{"10:11", nil, nil},
			{"10:12", []string{"exposure-near S1 10:12-", "exposure-near S2 10:12-"}, nil},
			{"10:13", nil, nil},
		} {
			raised, cleared := c.watch(step.when)
			c.want("raised at "+step.when, raised, step.raised)
			c.want("over at "+step.when, cleared, step.cleared)
		}
		c.back("10:45", "S1", "H1", "R1")
		raised, cleared := c.watch("10:46")
		c.want("raised at 10:46", raised, nil)
		c.want("over at 10:46", cleared, []string{"exposure-near S1 10:12-10:45"})
		raised, cleared = c.watch("11:01")
		c.want("raised at 11:01", raised, []string{"exposure-past S2 11:00-"})
		c.want("over at 11:01", cleared, []string{"exposure-near S2 10:12-11:00"})
		c.issue("11:02", "S3", "K1")
		raised, _ = c.watch("14:45")
		c.want("raised at 14:45: a hold that is complete does not stand", raised,
			[]string{"exposure-near S3 14:14- late", "hold-complete R1 14:45-14:45"})
		standing, err := c.app.Alarms(t.Context(), false)
		if err != nil {
			t.Fatal(err)
		}
		if len(standing) != 2 || standing[0].Subject != "S2" {
			t.Errorf("standing: %v, want the overdue slip first", c.lines(standing))
		}
	})
}

// TestAfterAStopWhatFellDueIsSaidOnceAndMarkedLate: while the watch was down S1
// was past its limit and came back, and the oven was cold and warm again.
func TestAfterAStopWhatFellDueIsSaidOnceAndMarkedLate(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "07:40")
		c.issue("07:00", "S1", "K1")
		raised, _ := c.watch("07:05")
		c.want("raised before the stop", raised, nil)
		c.read("08:10", "08:40", "100 C")
		c.read("09:10", "15:40", "130 C")
		c.back("11:30", "S1", "bench", "R1")
		late := []string{"exposure-near S1 10:12-11:00 late", "exposure-past S1 11:00-11:30 late", "oven-cold H1 08:10-09:15 late"}
		raised, cleared := c.watch("12:00")
		c.want("raised after the stop", raised, late)
		c.want("over after the stop", cleared, nil)
		for range 50 { // the program is started again and again
			again := &crib{t: t, app: &app.App{DB: c.app.DB, Site: "yard", Via: "another", Now: c.app.Now}, zone: c.zone}
			raised, cleared := again.watch("12:00")
			c.want("raised after a restart", raised, nil)
			c.want("over after a restart", cleared, nil)
		}
		c.want("on record", c.all(), late)
	})
}

// TestWhatTheWatchWritesDoesNotDependOnWhenItLooks lets one morning happen to
// several sites of one database, each with a watch that looks at random times
// and is sometimes a new program; the first looks once, at the end.
func TestWhatTheWatchWritesDoesNotDependOnWhenItLooks(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		const sites = 6
		var want []string
		for n := range sites {
			c := newCrib(t, d, fmt.Sprintf("site-%d", n))
			random := rand.New(rand.NewPCG(2025, uint64(n)))
			c.morning(func(from, to string) {
				for at := c.at(from); n > 0 && at < c.at(to); {
					at = at.Add(measure.Duration(1+random.IntN(5000)) * measure.Second)
					if at < c.at(to) {
						c.watch(at.In(c.zone))
					}
				}
			})
			c.watch("18:00")
			got := withoutLate(c.all())
			if n == 0 {
				want = got
				continue
			}
			c.want(c.app.Site+" against a single look", got, want)
		}
		if len(want) < 8 {
			t.Errorf("the morning raised %d alarms only: %v", len(want), want)
		}
	})
}

// morning is work with a bit of everything, as it happens; in between the watch
// may look.
func (c *crib) morning(between func(from, to string)) {
	last := "06:00"
	acts := []struct {
		when string
		act  func(when string)
	}{
		{"06:40", func(when string) { c.open(when, when) }},
		{"07:00", func(when string) { c.issue(when, "S1", "K1") }},
		{"07:10", func(when string) { c.read(when, when, "130 C") }},
		{"07:20", func(when string) { c.issue(when, "S2", "K1") }},
		{"07:30", func(when string) { c.record(when, &inventory.Moved{Bundle: "K1", Into: "bench", Pieces: 30, As: "L1"}) }},
		{"08:40", func(when string) { c.read(when, when, "118 C") }},
		{"09:10", func(when string) { c.read(when, when, "130 C") }},
		{"09:40", func(when string) { c.read(when, when, "131 C") }},
		{"10:20", func(when string) { c.read(when, when, "130 C") }},
		{"10:30", func(when string) { c.back(when, "S1", "H1", "R1") }},
		{"11:10", func(when string) { c.read(when, when, "130 C") }},
		{"11:25", func(when string) { c.back(when, "S2", "bench", "R2") }},
		{"12:00", func(when string) { c.read(when, "15:00", "130 C") }},
		{"15:10", func(when string) { c.issue(when, "S3", "R1") }},
		{"15:20", func(when string) { c.record(when, &inventory.Scrapped{Bundle: "L1", Why: "left on the bench"}) }},
	}
	for _, a := range acts {
		between(last, a.when)
		a.act(a.when)
		last = a.when
	}
	between(last, "18:00")
}

func withoutLate(list []string) []string {
	for i := range list {
		list[i] = strings.TrimSuffix(list[i], " late")
	}
	return list
}

// TestSlipsKeyedLateAreRaisedByWhenTheyHappened is timeline S35: paper slips of
// an outage, keyed after it.
func TestSlipsKeyedLateAreRaisedByWhenTheyHappened(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "23:40")
		c.watch("09:19")
		issued := func(when, noted, slip string) {
			c.enter(when, noted, &inventory.Issued{Slip: slip, Bundle: "K1", Pieces: 40, Welder: "W3"})
		}
		issued("06:55", "09:20", "S1")
		issued("07:10", "09:22", "S2")
		issued("08:30", "09:25", "S3")
		raised, _ := c.watch("12:30")
		c.want("raised", raised, []string{
			"exposure-near S1 10:07-10:55 late", "exposure-near S2 10:22-11:10 late", "exposure-near S3 11:42-12:30 late",
			"exposure-past S1 10:55- late", "exposure-past S2 11:10- late", "exposure-past S3 12:30-"})
	})
}

// TestAReturnKeyedLateTakesTheAlarmBack: at 11:05 the slip is overdue as far as
// anybody knows; at 11:20 a return of 10:45 is keyed. The alarm was never true
// and ceases when that is known; it stays on record.
func TestAReturnKeyedLateTakesTheAlarmBack(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "23:40")
		c.issue("07:00", "S1", "K1")
		raised, _ := c.watch("11:05")
		c.want("raised", raised, []string{"exposure-near S1 10:12-11:00 late", "exposure-past S1 11:00- late"})
		c.enter("10:45", "11:20", &inventory.Returned{Slip: "S1", Unused: 40, Into: "H1", As: "R1"})
		raised, cleared := c.watch("11:21")
		c.want("raised after the return", raised, nil)
		c.want("over after the return", cleared, []string{"exposure-past S1 11:00-11:21 late"})
	})
}

// TestASlipThatWasClosedWhileNobodyLookedIsStillRaised also when it is keyed
// after the watch has looked at the time when it happened.
func TestASlipThatWasClosedWhileNobodyLookedIsStillRaised(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "23:40")
		c.watch("13:00")
		c.enter("07:00", "13:10", &inventory.Issued{Slip: "S1", Bundle: "K1", Pieces: 40, Welder: "W3"})
		c.enter("11:30", "13:11", &inventory.Returned{Slip: "S1", Unused: 40, Into: "bench", As: "R1"})
		raised, _ := c.watch("13:12")
		c.want("raised", raised, []string{"exposure-near S1 10:12-11:00 late", "exposure-past S1 11:00-11:30 late"})
	})
}

// TestACorrectionIsLookedAtAgain is timeline S37: an issue typed 17:00 in place
// of 07:00.
func TestACorrectionIsLookedAtAgain(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "23:40")
		typed := c.enter("08:00", "11:05", &inventory.Issued{Slip: "S1", Bundle: "K1", Pieces: 40, Welder: "W3"})
		raised, _ := c.watch("11:06")
		c.want("raised by the wrong time", raised, nil)
		_, err := c.app.Correct(t.Context(), app.Correction{Fact: typed.Fact.ID, Reason: "07:00, not 08:00", By: "Birch",
			At: c.at("07:00"), Noted: c.at("11:07")})
		if err != nil {
			t.Fatal(err)
		}
		raised, _ = c.watch("11:08")
		c.want("raised by the right time", raised,
			[]string{"exposure-near S1 10:12-11:00 late", "exposure-past S1 11:00- late"})
	})
}

// TestReadingsThatComeLateAreLookedAt: a logger is read out the next day.
func TestReadingsThatComeLateAreLookedAt(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		c.open("06:40", "06:40")
		raised, _ := c.watch("2025-06-06 07:00")
		c.want("raised without readings", raised, []string{"no-reading H1 07:40- late"})
		c.read("07:10", "12:10", "130 C")
		c.read("12:40", "13:10", "90 C")
		c.read("13:40", "2025-06-06 06:40", "130 C")
		raised, cleared := c.watch("2025-06-06 07:01")
		// The rods in it were exposed from 12:10 to 13:40 and are held since; the alarm is
		// over when it has been warm for five minutes.
		c.want("raised with them", raised, []string{"hold-complete K1 17:40-17:40 late", "oven-cold H1 12:40-13:45 late, found afterwards"})
		c.want("over with them", cleared, []string{"no-reading H1 07:40-6 Jun 07:01 late"})
	})
}

func TestAnOvenAlarmSaysHowLongItsRodsHave(t *testing.T) {
	t.Parallel()
	c := newCrib(t, dbtest.SQLite(t), "yard")
	c.open("06:40", "07:10")
	c.read("07:40", "08:10", "100 C")
	if _, _, err := c.app.Watch(t.Context(), c.at("08:15")); err != nil {
		t.Fatal(err)
	}
	list, err := c.app.Alarms(t.Context(), false)
	if err != nil {
		t.Fatal(err)
	}
	// The lower of two readings applies between them: cold, and exposed, since
	// 07:10, so that 4:00 are over at 11:10.
	if len(list) != 1 || list[0].Due != c.at("11:10") {
		t.Errorf("standing %+v, want the oven with its rods due at 11:10", list)
	}
}

// TestTwoWatchesSayEachThingOnceBetweenThem looks at the same minutes from two
// programs.
func TestTwoWatchesSayEachThingOnceBetweenThem(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		one := newCrib(t, open(), "yard")
		other := *one
		second := *one.app
		second.DB = open()
		other.app = &second
		one.open("06:40", "23:40")
		one.issue("07:00", "S1", "K1")
		var said []string
		for _, when := range []string{"10:12", "10:13", "11:00", "11:01"} {
			a, _ := one.watch(when)
			b, _ := other.watch(when)
			said = slices.Concat(said, a, b)
		}
		one.want("said", said, []string{"exposure-near S1 10:12-", "exposure-past S1 11:00-"})
	})
}
