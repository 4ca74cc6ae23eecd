package app_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"ovenward/alerts/alarm"
	"ovenward/alerts/channel"
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
)

// receiver keeps the messages that it is sent; down, it has none of them.
type receiver struct {
	down bool
	got  []channel.Message
	at   []measure.Instant
}

func (r *receiver) Send(_ context.Context, m channel.Message, at measure.Instant) error {
	r.at = append(r.at, at)
	if r.down {
		return errors.New("connection refused")
	}
	r.got = append(r.got, m)
	return nil
}

func (r *receiver) subjects() string {
	var list []string
	for _, m := range r.got {
		for _, i := range m.Items {
			list = append(list, i.Event+" "+i.Kind+" "+i.Subject)
		}
	}
	return strings.Join(list, ", ")
}

// minute is one minute of the watch at a time.
func (c *crib) minute(when string, route channel.Route, to channel.Sender) {
	c.t.Helper()
	c.noon = c.at(when).Time()
	if _, _, err := c.app.Watch(c.t.Context(), 0); err != nil {
		c.t.Fatal(err)
	}
	if err := c.app.Escalate(c.t.Context(), []channel.Route{route}); err != nil {
		c.t.Fatal(err)
	}
	if _, err := c.app.Tell(c.t.Context(), route, to); err != nil && !strings.Contains(err.Error(), "connection refused") {
		c.t.Fatal(err)
	}
}

// TestAReceiverThatIsDownForSixHoursLosesNothing: A10 of the requirements; the
// pauses double to half an hour, and all come in order once it is up.
func TestAReceiverThatIsDownForSixHoursLosesNothing(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		route, to := channel.Route{Name: "crib"}, &receiver{down: true}
		if err := c.app.Joined(t.Context(), "crib"); err != nil {
			t.Fatal(err)
		}
		c.open("06:00", "18:00")
		c.issue("07:00", "S1", "K1")
		for m := range 6 * 60 {
			if m%10 == 0 {
				c.minute(fmt.Sprintf("%02d:%02d", 10+m/60, 15+m%60%45), route, to)
			}
		}
		tried := len(to.at)
		if tried < 8 || tried > 20 || len(to.got) > 0 {
			t.Errorf("%d attempts and %d messages in six hours, want one every half hour at most", tried, len(to.got))
		}
		to.down = false
		for i := range 4 {
			c.minute(fmt.Sprintf("17:0%d", i), route, to)
			c.minute(fmt.Sprintf("17:4%d", i), route, to)
		}
		if want := "raised exposure-near S1, raised exposure-past S1"; to.subjects() != want {
			t.Errorf("told %q, want %q", to.subjects(), want)
		}
	})
}

// TestWhatWasOnItsWayIsToldAgainUnderTheSameKey: a program that was killed after
// it sent and before it noted so.
func TestWhatWasOnItsWayIsToldAgainUnderTheSameKey(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		route, killed, to := channel.Route{Name: "crib"}, &killer{}, &receiver{}
		if err := c.app.Joined(t.Context(), "crib"); err != nil {
			t.Fatal(err)
		}
		c.open("06:00", "18:00")
		c.issue("07:00", "S1", "K1")
		func() {
			defer func() {
				if recover() == nil {
					t.Error("it was not killed")
				}
			}()
			c.minute("10:15", route, killed)
		}()
		c.issue("07:30", "S2", "K1")
		c.minute("10:50", route, to)
		c.minute("10:51", route, to)
		c.minute("10:52", route, to)
		if len(to.got) != 2 || to.got[0].Key != killed.key || to.got[1].Key == killed.key {
			t.Errorf("told %+v, want first what was told under %s and then the rest", to.got, killed.key)
		}
		if want := "raised exposure-near S1, raised exposure-near S2"; to.subjects() != want {
			t.Errorf("told %q, want %q", to.subjects(), want)
		}
	})
}

// killer ends the program while it sends.
type killer struct{ key string }

func (k *killer) Send(_ context.Context, m channel.Message, _ measure.Instant) error {
	k.key = m.Key
	panic("killed")
}

// TestAPowerCutIsOneMessage: A11 of the requirements.
func TestAPowerCutIsOneMessage(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		route, to := channel.Route{Name: "on-call", Quiet: channel.Span{From: 22 * 60, To: 6 * 60}}, &receiver{}
		if err := c.app.Joined(t.Context(), route.Name); err != nil {
			t.Fatal(err)
		}
		c.open("06:00", "23:00")
		for i := range 30 {
			name := fmt.Sprintf("O%d", i)
			c.record("22:00", &inventory.PlaceSet{Place: name, SortKind: "holding oven"})
			c.record("22:00", &inventory.Moved{Bundle: "K1", Into: name, Pieces: 4, As: fmt.Sprintf("L%d", i)})
			c.minuteReadings(name, "22:00", measure.Hour)
		}
		c.minute("23:00", route, to)
		to.got = nil
		for i := range 30 {
			c.cold(fmt.Sprintf("O%d", i), "23:15")
		}
		c.minute("23:15", route, to)
		c.minute("23:16", route, to)
		if len(to.got) != 1 || len(to.got[0].Items) != 30 || to.got[0].Urgent() != alarm.High {
			t.Errorf("%d messages, want one of 30 ovens at once, quiet hours or not", len(to.got))
		}
		if !strings.HasSuffix(to.got[0].Text, "; and 27 more") {
			t.Errorf("headline %q", to.got[0].Text)
		}
	})
}

// TestWhatNobodyAcknowledgesIsToldToTheNext once, on time, also by a program that
// was started in between.
func TestWhatNobodyAcknowledgesIsToldToTheNext(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		chief, to := channel.Route{Name: "chief", After: 15 * measure.Minute, Priority: alarm.High}, &receiver{}
		if err := c.app.Joined(t.Context(), "chief"); err != nil {
			t.Fatal(err)
		}
		c.open("06:00", "18:00")
		c.issue("07:00", "S1", "K1")
		c.issue("07:00", "S2", "K1")
		c.minute("11:00", chief, to)
		if _, err := c.app.Handle(t.Context(), app.Handling{Tag: alarm.Tag{Kind: alarm.ExposurePast, Subject: "S2"}, Event: alarm.Ack,
			By: "Oakes", Why: "seen"}); err != nil {
			t.Fatal(err)
		}
		c.minute("11:14", chief, to)
		if len(to.got) != 0 {
			t.Errorf("told %q before its time", to.subjects())
		}
		c.app.DB = open()
		for _, at := range []string{"11:15", "11:16", "12:30"} {
			c.minute(at, chief, to)
		}
		if want := "escalated to chief exposure-past S1"; to.subjects() != want {
			t.Errorf("told %q, want %q", to.subjects(), want)
		}
	})
}

// TestWhatIsNotUrgentWaitsForTheMorning and is told then.
func TestWhatIsNotUrgentWaitsForTheMorning(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		c := newCrib(t, open(), "yard")
		route, to := channel.Route{Name: "crib", Quiet: channel.Span{From: 9 * 60, To: 11 * 60}}, &receiver{}
		if err := c.app.Joined(t.Context(), "crib"); err != nil {
			t.Fatal(err)
		}
		c.open("06:00", "18:00")
		c.issue("07:00", "S1", "K1")
		c.minute("10:12", route, to)
		c.minute("10:59", route, to)
		if len(to.got) != 0 {
			t.Errorf("told %q in quiet hours", to.subjects())
		}
		c.minute("11:00", route, to)
		if want := "raised exposure-near S1, raised exposure-past S1"; to.subjects() != want {
			t.Errorf("told %q, want %q", to.subjects(), want)
		}
	})
}

// cold stores one reading of a place that is too low.
func (c *crib) cold(place, at string) {
	c.t.Helper()
	s, err := c.app.Sensor(c.t.Context(), "Oakes", place, c.at(at))
	if err != nil {
		c.t.Fatal(err)
	}
	if _, err := c.app.AddReadings(c.t.Context(), []ovendb.Reading{{Sensor: s.Name, At: c.at(at), Temp: measure.Celsius(60)}}); err != nil {
		c.t.Fatal(err)
	}
}
