package config

import (
	"context"
	"io"

	"ovenward/alerts/channel"
	"ovenward/cmd/internal/broker"
)

// Reach gives the channels what they share with the rest of the program: standard
// output, and the connection to the broker, nil where there is none.
func (c *Config) Reach(out io.Writer, b *broker.Broker) {
	for i, ch := range c.Channels {
		switch to := ch.Sender.(type) {
		case channel.Lines:
			c.Channels[i].Sender = channel.Lines{W: out}
		case channel.MQTT:
			to.Publisher = publisher{b}
			c.Channels[i].Sender = to
		}
	}
}

// Prints reports whether a channel writes to standard output, where nothing else is
// to be then.
func (c Config) Prints() bool {
	for _, ch := range c.Channels {
		if _, ok := ch.Sender.(channel.Lines); ok {
			return true
		}
	}
	return false
}

// publisher publishes over the program's connection.
type publisher struct{ *broker.Broker }

// Publish implements channel.Publisher.
func (p publisher) Publish(ctx context.Context, key, topic string, payload []byte) error {
	return p.Broker.Publish(ctx, broker.Outgoing{Key: key, Topic: topic, Payload: payload})
}
