// Package topic takes readings that come as messages of an MQTT broker.
package topic

import (
	"context"
	"errors"
	"log/slog"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/broker"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// Settings say which messages are readings.
type Settings struct {
	Name string // beside the readings
	feed.Topic
	Layout string // of times
}

// Topics are the topics that a site listens to, over one connection.
type Topics struct {
	app    *app.App
	list   []Settings
	broker *broker.Broker
	log    *slog.Logger
}

// New returns topics that are not listened to yet. The broker's client id must be
// of this connection alone.
func New(a *app.App, s broker.Settings, list []Settings, log *slog.Logger) *Topics {
	var filters []string
	for _, one := range list {
		filters = append(filters, one.Filter())
	}
	return &Topics{app: a, list: list, broker: broker.New(s, filters...), log: log}
}

// Run takes messages until the context ends. One is done with at the broker when
// it is stored, and comes again if it could not be.
func (t *Topics) Run(ctx context.Context) error {
	t.broker.Start()
	defer t.broker.Close()
	for {
		select {
		case <-ctx.Done():
			return nil
		case m := <-t.broker.Received():
			if err := t.take(ctx, m); err != nil {
				t.log.Error("a message is not stored, and comes again", "topic", m.Topic, "error", err)
				continue
			}
			m.Done()
		}
	}
}

// take stores a message. One that the broker kept from before we listened is no
// new reading.
func (t *Topics) take(ctx context.Context, m broker.Received) error {
	if m.Retained {
		return nil
	}
	for _, s := range t.list {
		sensor, ok := s.Match(m.Topic)
		if !ok {
			continue
		}
		in, err := t.read(ctx, s, sensor, m.Payload)
		if err != nil {
			return err
		}
		took, err := t.app.Take(ctx, in)
		for _, f := range took.Flagged {
			t.log.Warn("a message proves nothing", "topic", m.Topic, "sensor", f.Sensor, "field", f.Field, "value", f.Value, "why", f.Why)
		}
		return err
	}
	return nil
}

func (t *Topics) read(ctx context.Context, s Settings, sensor string, payload []byte) (in app.Intake, err error) {
	in.Source = ovendb.Source{Kind: ovendb.Topic, Name: s.Name, Unit: s.Unit}
	zone, err := t.app.Zone(ctx)
	if err != nil {
		return in, err
	}
	clock, err := feed.NewClock(s.Layout, zone)
	if err != nil {
		return in, err
	}
	r, err := s.Read(payload, clock, measure.At(t.app.Now()))
	r.Sensor = sensor
	if bad, ok := errors.AsType[*feed.FieldError](err); ok {
		in.Bad = []app.Flagged{{Sensor: sensor, At: r.At, Quality: feed.Unreadable, Field: bad.Field, Value: bad.Value, Why: bad.Why}}
		return in, nil
	}
	in.Rows = []feed.Row{r}
	return in, err
}
