package main

import (
	"io"
	"log/slog"
	"slices"

	"ovenward/alerts/channel"
	"ovenward/cmd/internal/broker"
	"ovenward/cmd/internal/config"
)

// reach connects the channels of a file with standard output and with the broker;
// brief is for a command that ends at once. What it returns closes the connection.
func reach(settings *config.Config, out io.Writer, log *slog.Logger, brief bool) (done func()) {
	var b *broker.Broker
	if slices.ContainsFunc(settings.Channels, func(c config.Channel) bool { _, ok := c.Sender.(channel.MQTT); return ok }) {
		s := settings.MQTT.Settings
		s.Brief, s.Log = brief, log
		s.ClientID += "-alarms" // the connection that receives readings has the id itself
		s.Status += "/alarms"
		b = broker.New(s)
	}
	settings.Reach(out, b)
	return func() {
		if b != nil {
			b.Close()
		}
	}
}
