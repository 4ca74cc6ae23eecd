package channel

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Item is what happened to one alarm.
type Item struct {
	Seq         int64           `json:"seq"` // in the site's history of alarms
	Event       string          `json:"event"`
	Kind        string          `json:"kind"`
	Subject     string          `json:"subject"`
	Priority    string          `json:"priority"`
	Since       measure.Instant `json:"since_us"`
	At          measure.Instant `json:"at_us"`
	Late        bool            `json:"late,omitempty"`
	What        string          `json:"what"`
	Consequence string          `json:"consequence"`
	Action      string          `json:"action"`
	Due         measure.Instant `json:"due_us,omitempty"`  // until when acting helps
	Left        string          `json:"left,omitempty"`    // until then, h:mm
	Over        measure.Instant `json:"over_us,omitempty"` // since when it is over, if it is
	Why         string          `json:"why,omitempty"`
}

// Message is what a channel is told in one go: a power cut is one message with
// every oven in it, and a list that is told at a fixed time is one as well. Told
// again after a crash it has the same key.
type Message struct {
	Site  string `json:"site"`
	Key   string `json:"key"`
	Text  string `json:"text"`           // in one line, for a person
	Body  string `json:"body,omitempty"` // of a list: the whole of it, in lines for a person
	Items []Item `json:"alarms"`         // empty for a list

	Zone *time.Location `json:"-"` // of the times that a person is told; nil: UTC
}

// Sender tells a message. An error means that it may not have arrived.
type Sender interface {
	Send(ctx context.Context, m Message, at measure.Instant) error
}

// encode writes a value as one line of JSON, in which "->" stays readable.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return b.Bytes(), err
}

// Urgent returns the highest priority in a message.
func (m Message) Urgent() alarm.Priority {
	p := alarm.Low
	for _, i := range m.Items {
		if alarm.Priority(i.Priority).Compare(p) < 0 {
			p = alarm.Priority(i.Priority)
		}
	}
	return p
}

// shown is how many alarms the line for a person names.
const shown = 3

// Headline puts the items into one line for a person, the most urgent first.
func Headline(site string, items []Item) string {
	var parts []string
	for _, p := range []alarm.Priority{alarm.High, alarm.Medium, alarm.Low} {
		for _, i := range items {
			if alarm.Priority(i.Priority) == p {
				parts = append(parts, sentence(i))
			}
		}
	}
	text := strings.Join(parts[:min(shown, len(parts))], "; ")
	if more := len(parts) - shown; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return site + ": " + text
}

func sentence(i Item) string {
	if i.Event == string(alarm.Clear) || i.Over != 0 {
		return "over: " + i.What
	}
	out := strings.ToUpper(i.Priority) + " " + i.What
	if i.Left != "" {
		out += " (" + i.Left + " left)"
	}
	return out + " -> " + i.Action
}
