package alarm_test

import (
	"cmp"
	"fmt"
	"slices"
	"testing"
	"time"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// quarter is a record of 90 days, whose figures the test works out by hand.
type quarter struct{ list []alarm.Transition }

var quarterBegins = measure.At(time.Date(2025, 3, 1, 0, 0, 0, 0, time.UTC))

// on returns an instant of the day of a number, the first of which is 0.
func on(day int, clock measure.Duration) measure.Instant {
	return quarterBegins.Add(measure.Duration(day)*measure.Day + clock)
}

func (q *quarter) add(at measure.Instant, k alarm.Kind, subject string, e alarm.Event, to alarm.State, p alarm.Priority) {
	q.list = append(q.list, alarm.Transition{Kind: k, Subject: subject, At: at, Event: e, To: to, Priority: p})
}

// stood adds an alarm that called from one instant and ceased at another.
func (q *quarter) stood(from, to measure.Instant, k alarm.Kind, subject string, p alarm.Priority) {
	q.add(from, k, subject, alarm.Raise, alarm.Unacknowledged, p)
	q.add(to, k, subject, alarm.Clear, alarm.Normal, p)
}

func newQuarter() []alarm.Transition {
	q := &quarter{}
	const h, m, s = measure.Hour, measure.Minute, measure.Second
	q.stood(on(-3, 0), on(2, 12*h), alarm.ClimateOutside, "X", alarm.Medium)
	for d := range 90 { // one low alarm a day
		q.stood(on(d, 6*h), on(d, 6*h+30*m), alarm.CheckMissed, "H1", alarm.Low)
		q.stood(on(d, 7*h), on(d, 7*h), alarm.HoldComplete, fmt.Sprint("B", d), alarm.Low)
	}
	for i := range measure.Duration(20) { // all probes fall silent, one each 20 s
		q.stood(on(10, 12*h+i*20*s), on(10, 13*h), alarm.NoReading, fmt.Sprintf("P%02d", i), alarm.Medium)
	}
	q.stood(on(20, 8*h), on(20, 8*h+20*s), alarm.OvenCold, "H2", alarm.High)
	q.stood(on(20, 8*h+40*s), on(20, 9*h), alarm.OvenCold, "H2", alarm.High) // the third within 40 s
	q.stood(on(21, 8*h), on(21, 8*h+30*s), alarm.OvenCold, "H3", alarm.High)
	q.stood(on(21, 8*h+61*s), on(21, 10*h), alarm.OvenCold, "H3", alarm.High) // the third within 61 s
	for i := range 5 {
		q.stood(on(30, 12*h), on(33, 12*h), alarm.ClimateOutside, fmt.Sprint("D", i), alarm.Medium)
	}
	q.stood(on(30, 12*h), on(31, 12*h), alarm.ClimateOutside, "D5", alarm.Medium) // a day, and no longer
	q.add(on(31, 6*h), alarm.ClimateOutside, "D0", alarm.Shelve, alarm.OnShelf, alarm.Medium)
	q.add(on(32, 6*h), alarm.ClimateOutside, "D0", alarm.Unshelve, alarm.Unacknowledged, alarm.Medium)
	q.add(on(40, 0), alarm.OvenCold, "H5", alarm.Remove, alarm.OutOfService, "")
	q.add(on(40, h), alarm.OvenCold, "H5", alarm.Raise, alarm.OutOfService, alarm.High)
	q.add(on(40, 2*h), alarm.OvenCold, "H5", alarm.Clear, alarm.OutOfService, alarm.High)
	q.add(on(41, 0), alarm.OvenCold, "H6", alarm.Suppress, alarm.Suppressed, "")
	q.add(on(41, h), alarm.OvenCold, "H6", alarm.Raise, alarm.Suppressed, alarm.High)
	q.add(on(41, 2*h), alarm.OvenCold, "H6", alarm.Clear, alarm.Suppressed, alarm.High)
	for d := range 40 {
		q.stood(on(45+d, 10*h), on(45+d, 10*h+15*m), alarm.ExposureNear, fmt.Sprint("S", d), alarm.Medium)
	}
	q.stood(on(90, 0), on(90, h), alarm.OvenCold, "H2", alarm.High) // after the span
	slices.SortStableFunc(q.list, func(a, b alarm.Transition) int { return cmp.Compare(a.At, b.At) })
	return q.list
}

// TestFiguresOfAQuarter: 90 + 20 + 4 + 6 + 40 = 160 alarms in 90 days, or 2160 h, or
// 12960 windows of 10 min. The flood begins with the eleventh silent probe, at
// 12:03:20, and ends when the sixteenth, of 12:05:00, is 10 min old: 11 min 40 s.
func TestFiguresOfAQuarter(t *testing.T) {
	t.Parallel()
	got := alarm.Shipped().Figures(newQuarter(), quarterSpan())
	source := func(k alarm.Kind, subject string, n int) alarm.Source {
		return alarm.Source{Tag: alarm.Tag{Kind: k, Subject: subject}, N: n, Share: float64(n) / 160}
	}
	chatter := source(alarm.OvenCold, "H2", 4)
	chatter.Share = 4.0 / (2*160 + 5) // 160 and 2 quiet ones began, and those and the one from before ceased
	want := alarm.Figures{Raised: 160, Quiet: 2, PerDay: 160.0 / 90, PerHour: 160.0 / 2160, PerTen: 160.0 / 12960,
		Peak: 20, PeakFrom: on(10, 12*measure.Hour),
		Flood:      alarm.Floods{N: 1, Time: 11*measure.Minute + 40*measure.Second, Share: 700.0 / (90 * 86400)},
		Chattering: []alarm.Source{chatter},
		Stale:      6, StaleMost: 5, StaleDay: on(32, 0), // X, then D1 to D4, and D0 when it is off the shelf
		Top: []alarm.Source{source(alarm.CheckMissed, "H1", 90), source(alarm.ExposureNear, "", 40),
			source(alarm.OvenCold, "H2", 2), source(alarm.OvenCold, "H3", 2),
			source(alarm.ClimateOutside, "D0", 1), source(alarm.ClimateOutside, "D1", 1), source(alarm.ClimateOutside, "D2", 1),
			source(alarm.ClimateOutside, "D3", 1), source(alarm.ClimateOutside, "D4", 1), source(alarm.ClimateOutside, "D5", 1)},
		TopShare: 140.0 / 160,
		Split:    map[alarm.Priority]int{alarm.Low: 90, alarm.Medium: 66, alarm.High: 4},
		Shelved:  1, Hushed: 1, Withdrawn: 1}
	if diff := gocmp.Diff(want, got); diff != "" {
		t.Errorf("figures (-want +got):\n%s", diff)
	}
}

func quarterSpan() alarm.Span {
	s := alarm.Span{From: on(0, 0), To: on(90, 0), Operators: 1}
	for d := 1; d < 90; d++ {
		s.Midnights = append(s.Midnights, on(d, 0))
	}
	return s
}

// TestGoalsOfAQuarter: of the figures above, chattering, the stale ones (5 are not
// fewer than 5), medium (66 of 160) and the ten worst are not as they should be.
func TestGoalsOfAQuarter(t *testing.T) {
	t.Parallel()
	var failed []string
	for _, g := range alarm.Shipped().Figures(newQuarter(), quarterSpan()).Goals(1) {
		if !g.Met() {
			failed = append(failed, g.Name)
		}
	}
	want := []string{"most in 10 min", "chattering", "stale, most on a day", "medium priority", "share of the ten worst"}
	if diff := gocmp.Diff(want, failed); diff != "" {
		t.Errorf("goals missed (-want +got):\n%s", diff)
	}
}

// TestTwoOperatorsShareAlarms: 20 alarms in 10 min are 10 to each of two, which is
// no flood.
func TestTwoOperatorsShareAlarms(t *testing.T) {
	t.Parallel()
	s := quarterSpan()
	s.Operators = 2
	f := alarm.Shipped().Figures(newQuarter(), s)
	if f.Flood.N != 0 || f.PerDay != 80.0/90 {
		t.Errorf("two operators: %d floods, %v a day, want none and %v", f.Flood.N, f.PerDay, 80.0/90)
	}
}

// TestFloodsAreThoseOfEverySecond follows random alarms second by second.
func TestFloodsAreThoseOfEverySecond(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const length = 3600
		seconds := rapid.SliceOfN(rapid.IntRange(0, length-1), 0, 80).Draw(t, "seconds")
		slices.Sort(seconds)
		q := &quarter{}
		for _, s := range seconds {
			q.add(on(0, measure.Duration(s)*measure.Second), alarm.OvenCold, "H1", alarm.Raise, alarm.Unacknowledged, alarm.High)
		}
		peak, flood, on1 := 0, 0, false
		for now := range length {
			n := 0
			for _, s := range seconds {
				if s <= now && now-s < 600 {
					n++
				}
			}
			peak = max(peak, n)
			on1 = n > 10 || (on1 && n >= 5)
			if on1 {
				flood++
			}
		}
		f := alarm.Shipped().Figures(q.list, alarm.Span{From: on(0, 0), To: on(0, measure.Hour)})
		if f.Peak != peak || f.Flood.Time != measure.Duration(flood)*measure.Second {
			t.Fatalf("peak %d, in flood %s, want %d and %d s", f.Peak, f.Flood.Time, peak, flood)
		}
	})
}

// TestNoAlarmsHaveFigures: an empty record is all zeroes and misses no goal.
func TestNoAlarmsHaveFigures(t *testing.T) {
	t.Parallel()
	for _, g := range alarm.Shipped().Figures(nil, alarm.Span{From: on(0, 0), To: on(1, 0)}).Goals(0) {
		if g.Value != 0 || !g.Met() {
			t.Errorf("%s of no alarms is %v, met %v", g.Name, g.Value, g.Met())
		}
	}
}
