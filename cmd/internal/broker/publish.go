package broker

import (
	"context"
	"errors"
	"fmt"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

// Outgoing is a message to publish.
type Outgoing struct {
	// Key names the message: what is published again under the key of one that is
	// still on its way is waited for and not sent a second time.
	Key     string
	Topic   string
	Payload []byte
	Retain  bool // the broker hands it to whoever subscribes later
}

// Publish sends a message and returns nil once the broker has it. It connects if
// need be. While the broker is known to be out of reach it fails at once, with the
// reason. A message whose answer did not come in time is sent again by itself when
// the connection stands again.
func (b *Broker) Publish(ctx context.Context, m Outgoing) error {
	ctx, cancel := context.WithTimeoutCause(ctx, connectWithin+answerWithin, errNoAnswer)
	defer cancel()
	b.Start()
	client, err := b.await(ctx)
	if err != nil {
		return fmt.Errorf("broker %s: %w", b.settings.URL, err)
	}
	t := b.send(client, m)
	select {
	case <-t.Done():
		b.forget(m.Key)
		return t.Error()
	case <-ctx.Done():
		return fmt.Errorf("broker %s: %w", b.settings.URL, context.Cause(ctx))
	}
}

var (
	errNoAnswer = errors.New("the broker did not answer in time")
	errClosed   = errors.New("the connection was closed")
)

// await returns the connection once it stands.
func (b *Broker) await(ctx context.Context) (mqtt.Client, error) {
	for {
		b.mu.Lock()
		client, changed, problem := b.client, b.changed, b.problem
		b.mu.Unlock()
		switch {
		case client == nil:
			return nil, errClosed
		case client.IsConnectionOpen():
			return client, nil
		case problem != nil:
			return nil, problem
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		}
	}
}

// send publishes a message, or returns the token of the same one that is still on
// its way.
func (b *Broker) send(client mqtt.Client, m Outgoing) mqtt.Token {
	b.sending.Lock()
	defer b.sending.Unlock()
	if t, sent := b.pending[m.Key]; sent && t.Error() == nil {
		return t
	}
	t := client.Publish(m.Topic, atLeastOnce, m.Retain, m.Payload)
	b.pending[m.Key] = t
	return t
}

func (b *Broker) forget(key string) {
	b.sending.Lock()
	defer b.sending.Unlock()
	delete(b.pending, key)
}
