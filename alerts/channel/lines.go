package channel

import (
	"context"
	"fmt"
	"io"
	"time"

	"ovenward/inventory/measure"
)

// Lines writes each alarm of a message as one line of JSON, for a collector of
// logs. What was written when the program was killed is written again under the
// same key.
type Lines struct{ W io.Writer }

// logLine is one alarm, or a list, in the terms of such collectors.
type logLine struct {
	Time  time.Time `json:"time"`
	Level string    `json:"level"`
	Msg   string    `json:"msg"`
	Site  string    `json:"site"`
	Key   string    `json:"key"`
	Body  string    `json:"body,omitempty"`
	Alarm *Item     `json:"alarm,omitempty"`
}

// levels are those of a log for each priority.
var levels = map[string]string{"high": "ERROR", "medium": "WARN", "low": "INFO"}

// Send implements Sender.
func (l Lines) Send(_ context.Context, m Message, at measure.Instant) error {
	lines := []logLine{{at.Time().UTC(), "INFO", m.Text, m.Site, m.Key, m.Body, nil}}
	if len(m.Items) > 0 {
		lines = nil
	}
	for _, i := range m.Items {
		level := levels[i.Priority]
		if i.Over != 0 || level == "" {
			level = "INFO"
		}
		lines = append(lines, logLine{i.At.Time().UTC(), level, Headline(m.Site, []Item{i}), m.Site, itemKey(m, i), "", &i})
	}
	for _, one := range lines {
		text, err := encode(one)
		if err != nil {
			return err
		}
		if _, err := l.W.Write(text); err != nil {
			return err
		}
	}
	return nil
}

// itemKey is the key of one alarm of a message that is told alarm by alarm.
func itemKey(m Message, i Item) string { return fmt.Sprintf("%s/%d", m.Key, i.Seq) }
