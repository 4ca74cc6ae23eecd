package broker

import mqtt "github.com/eclipse/paho.mqtt.golang"

// Received is a message that came in.
type Received struct {
	Topic    string
	Payload  []byte
	Retained bool // published before we subscribed: it may be old
	Again    bool // the broker sent it before and was not told that we had it
	ack      func()
}

// Done tells the broker that the message is kept. One for which it is not called
// comes again when the connection is next made, also in another program under the
// same client id: call it when what the message says is durable, or is refused
// for good.
func (r Received) Done() { r.ack() }

// mostWaiting is how many messages that came in may wait to be taken.
const mostWaiting = 10_000

// Received returns the messages that come in, in the order in which the broker
// sent them. They must be taken: what comes while too many wait is dropped, and is
// sent again when the connection is next made, if it was published at least once.
func (b *Broker) Received() <-chan Received { return b.incoming }

// receive is called by the library on its own goroutine, which also answers the
// broker's pings: it must not wait.
func (b *Broker) receive(_ mqtt.Client, m mqtt.Message) {
	select {
	case b.incoming <- Received{m.Topic(), m.Payload(), m.Retained(), m.Duplicate(), m.Ack}:
	default:
		b.settings.Log.Error("mqtt: messages come faster than they are taken, one is left with the broker", "topic", m.Topic())
	}
}
