package topic_test

import (
	"context"
	"fmt"
	"log/slog"
	"strings"
	"testing"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/app/apptest"
	"ovenward/cmd/internal/broker"
	"ovenward/cmd/internal/broker/brokertest"
	"ovenward/cmd/internal/topic"
	"ovenward/inventory/measure"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/feed"
)

// TestMessagesOfARealBrokerAreReadings: a message that the broker kept from before
// is none, and one that cannot be read is flagged.
func TestMessagesOfARealBrokerAreReadings(t *testing.T) {
	t.Parallel()
	a := apptest.Site(t, dbtest.Any(t), "yard", "H1")
	base := brokertest.Name()
	sender := broker.New(brokertest.Settings(t))
	t.Cleanup(sender.Close)
	send := func(at string, retain bool, text string) {
		t.Helper()
		err := sender.Publish(t.Context(), broker.Outgoing{Key: at + text, Topic: base + "/" + at, Payload: []byte(text), Retain: retain})
		if err != nil {
			t.Fatal(err)
		}
	}
	send("H1", true, `{"at":"2025-06-05 06:00","t":100}`) // kept from before
	s := brokertest.Settings(t)
	s.Status = base + "/status"
	list := []topic.Settings{{Name: "probes", Topic: feed.Topic{Pattern: base + "/{sensor}", Value: "t", Time: "at", Unit: "C"}}}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- topic.New(a, s, list, slog.New(slog.DiscardHandler)).Run(ctx) }()
	online(t, s.Status)
	send("H1", false, `{"at":"2025-06-05 07:00","t":121.5}`)
	send("H1", false, `{"at":"2025-06-05 07:00","t":121.5}x`)
	send("H1", false, `{"at":"2025-06-05 08:00","t":"open"}`)
	var got string
	for end := time.Now().Add(20 * time.Second); strings.Count(got, "\n") < 2 && time.Now().Before(end); {
		got = kept(t, a, measure.At(apptest.Noon))
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	const want = "H1 2025-06-05T07:00:00Z 121.5 °C\nH1 2025-06-05T08:00:00Z unreadable open\n"
	if !strings.Contains(got, "121.5 °C") || !strings.Contains(got, "unreadable open") || strings.Contains(got, "100 °C") {
		t.Errorf("kept %q, want among it %q", got, want)
	}
}

// kept returns the readings and the flagged values of H1 whose time is known.
func kept(t *testing.T, a *app.App, to measure.Instant) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(apptest.Stored(t, a, measure.SI, "H1"))
	flags, err := a.Flags(t.Context(), "H1", 0, to-1)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range flags {
		fmt.Fprintf(&b, "%s %s %s %s\n", f.Sensor, f.At, f.Quality, f.Value)
	}
	return b.String()
}

// online waits until a client's status says that it is connected, with its
// subscriptions made before that or right after.
func online(t *testing.T, status string) {
	t.Helper()
	b := broker.New(brokertest.Settings(t), status)
	t.Cleanup(b.Close)
	b.Start()
	for {
		select {
		case m := <-b.Received():
			m.Done()
			if string(m.Payload) == "online" {
				return
			}
		case <-time.After(20 * time.Second):
			t.Fatal("no connection in 20 s")
		}
	}
}
