package channel

import (
	"context"

	"ovenward/inventory/measure"
)

// Publisher hands a message to an MQTT broker and returns nil once the broker has
// it. What is sent again under a key that is still on its way is not sent twice.
type Publisher interface {
	Publish(ctx context.Context, key, topic string, payload []byte) error
}

// MQTT publishes each alarm of a message by itself, under the topic
// BASE/SITE/alarm/KIND, and a list under BASE/SITE/list. Nothing is retained: what
// is published is what happened, and who subscribes later would take an alarm that
// is long over for a new one.
type MQTT struct {
	Publisher
	Base string
}

// published is one alarm as it is published.
type published struct {
	Site string `json:"site"`
	Key  string `json:"key"` // by which a receiver knows one that comes again
	Text string `json:"text"`
	Item
}

// Send implements Sender.
func (q MQTT) Send(ctx context.Context, m Message, _ measure.Instant) error {
	base := q.Base + "/" + topicLevel(m.Site)
	if len(m.Items) == 0 {
		payload, err := encode(m)
		if err != nil {
			return err
		}
		return q.Publish(ctx, m.Key, base+"/list", payload)
	}
	for _, i := range m.Items {
		key := itemKey(m, i)
		payload, err := encode(published{m.Site, key, Headline(m.Site, []Item{i}), i})
		if err != nil {
			return err
		}
		if err := q.Publish(ctx, key, base+"/alarm/"+topicLevel(i.Kind), payload); err != nil {
			return err
		}
	}
	return nil
}

// topicLevel makes one level of a topic of a name, in which / + and # have a
// meaning.
func topicLevel(name string) string {
	out := []rune(name)
	for i, r := range out {
		if r == '/' || r == '+' || r == '#' || r == 0 {
			out[i] = '_'
		}
	}
	return string(out)
}
