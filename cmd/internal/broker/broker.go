// Package broker keeps one connection to an MQTT broker, over which the program
// publishes what happened to alarms and receives readings of ovens.
package broker

import (
	"cmp"
	"crypto/rand"
	"crypto/tls"
	"errors"
	"log/slog"
	"strings"
	"sync"
	"time"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

// Settings say where the broker is and who we are to it.
type Settings struct {
	URL      string      // mqtts://host:8883, or mqtt://host:1883 without TLS
	ClientID string      // one program at a time may use it: the broker keeps our session under it
	User     string      // empty: nobody
	Password string      // never in a message or log
	TLS      *tls.Config // for mqtts; nil: the system's authorities
	// Status is a topic that holds "online" while the connection stands and
	// "offline", set by the broker itself, once it has broken. Empty: none.
	Status string
	// Brief is for a command that sends and ends: it leaves the session of the
	// program that stays alone, and has none itself.
	Brief bool
	Pause time.Duration // the longest between two attempts to connect; zero: a minute
	Log   *slog.Logger  // nil: nowhere
}

// Times of a connection.
const (
	connectWithin = 10 * time.Second // network, TLS and the broker's greeting
	retryAfter    = 5 * time.Second  // a first connection that could not be made
	longestPause  = time.Minute      // between attempts to connect again
	keepAlive     = 30 * time.Second // within which a dead line is found out, and half as long again
	answerWithin  = 10 * time.Second // the broker's word that it has a message
	closeWithin   = 250 * time.Millisecond
)

// Broker is one connection. It is made at the first need, made again whenever it
// breaks, and may be used by any number of goroutines.
type Broker struct {
	settings Settings
	incoming chan Received
	filters  []string

	mu      sync.Mutex
	client  mqtt.Client   // nil until it is started and once it is closed
	changed chan struct{} // closed when the connection stands, breaks or cannot be made
	problem error         // why the last attempt failed, or the connection broke

	sending sync.Mutex            // apart, since sending may take its time
	pending map[string]mqtt.Token // what was sent and has not been answered, by key
}

// New returns a broker that is not connected yet. Whatever arrives on the topics
// that the filters name comes out of Received.
func New(s Settings, filters ...string) *Broker {
	s.Pause = cmp.Or(s.Pause, longestPause)
	if s.Log == nil {
		s.Log = slog.New(slog.DiscardHandler)
	}
	return &Broker{settings: s, filters: filters, incoming: make(chan Received, mostWaiting),
		changed: make(chan struct{}), pending: map[string]mqtt.Token{}}
}

// Start begins to connect, and to connect again whenever the connection breaks,
// until Close. It does not wait, and does nothing where it was called before.
func (b *Broker) Start() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.client == nil {
		b.client = mqtt.NewClient(b.options())
		b.client.Connect() // what comes of it is told to notified
	}
}

// Close ends the connection. What was not answered yet may not have arrived.
func (b *Broker) Close() {
	b.mu.Lock()
	client := b.client
	b.client = nil
	b.mu.Unlock()
	if client == nil {
		return
	}
	if b.settings.Status != "" && !b.settings.Brief && client.IsConnectionOpen() {
		client.Publish(b.settings.Status, atLeastOnce, true, offline).WaitTimeout(closeWithin)
	}
	client.Disconnect(uint(closeWithin.Milliseconds()))
	b.sending.Lock()
	defer b.sending.Unlock()
	clear(b.pending) // a client that is gone answers for none of them
}

// Connected reports whether the connection stands, and where it does not why: nil
// for one that is being made for the first time, or that nobody started.
func (b *Broker) Connected() (bool, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.client != nil && b.client.IsConnectionOpen() {
		return true, nil
	}
	return false, b.problem
}

const (
	atLeastOnce = 1
	online      = "online"
	offline     = "offline"
)

func (b *Broker) options() *mqtt.ClientOptions {
	s := b.settings
	o := mqtt.NewClientOptions().AddBroker(s.URL).SetClientID(s.ClientID).SetUsername(s.User).SetPassword(s.Password)
	// Version 3.1.1 by name, else each refusal is followed by a second attempt.
	o.SetProtocolVersion(4).SetCleanSession(false).SetKeepAlive(keepAlive).SetConnectTimeout(connectWithin)
	o.SetConnectRetry(true).SetConnectRetryInterval(min(retryAfter, s.Pause)).SetMaxReconnectInterval(s.Pause)
	o.SetWriteTimeout(answerWithin).SetStore(newStore())
	o.SetAutoAckDisabled(true).SetDefaultPublishHandler(b.receive)
	o.SetOnConnectHandler(b.connected).SetConnectionNotificationHandler(b.notified)
	if strings.HasPrefix(s.URL, "mqtts://") {
		o.SetTLSConfig(s.tls())
	}
	if s.Brief {
		o.SetClientID(s.ClientID + "-" + rand.Text()[:8]).SetCleanSession(true).SetConnectRetry(false)
	} else if s.Status != "" {
		o.SetWill(s.Status, offline, atLeastOnce, true)
	}
	return o
}

func (s Settings) tls() *tls.Config {
	if s.TLS == nil {
		return &tls.Config{MinVersion: tls.VersionTLS12}
	}
	t := s.TLS.Clone()
	t.MinVersion = max(t.MinVersion, tls.VersionTLS12)
	return t
}

// connected is called each time that the connection stands. The subscriptions are
// made here, since a broker that was restarted may have forgotten them.
func (b *Broker) connected(c mqtt.Client) {
	b.turn(c, nil)
	for _, f := range b.filters {
		t := c.Subscribe(f, atLeastOnce, nil)
		if !t.WaitTimeout(answerWithin) {
			b.settings.Log.Error("mqtt: no answer to a subscription", "topic", f)
		} else if err := refused(t); err != nil {
			b.settings.Log.Error("mqtt: subscription refused", "topic", f, "error", err)
		}
	}
	if b.settings.Status != "" && !b.settings.Brief {
		c.Publish(b.settings.Status, atLeastOnce, true, online).WaitTimeout(answerWithin)
	}
	b.settings.Log.Info("mqtt: connected", "broker", b.settings.URL)
}

// refused returns why a subscription was not granted: the library counts a
// refusal by the broker's list of rights among the answers.
func refused(t mqtt.Token) error {
	if s, ok := t.(*mqtt.SubscribeToken); ok {
		for _, granted := range s.Result() {
			if granted == 0x80 {
				return errors.New("the broker does not let us read it")
			}
		}
	}
	return t.Error()
}

// notified keeps why there is no connection.
func (b *Broker) notified(c mqtt.Client, n mqtt.ConnectionNotification) {
	switch n := n.(type) {
	case mqtt.ConnectionNotificationFailed:
		b.settings.Log.Warn("mqtt: not connected", "broker", b.settings.URL, "error", n.Reason)
		b.turn(c, n.Reason)
	case mqtt.ConnectionNotificationLost:
		b.settings.Log.Warn("mqtt: connection lost", "broker", b.settings.URL, "error", n.Reason)
		b.turn(c, cmp.Or(n.Reason, errLost))
	}
}

var errLost = errors.New("the connection was lost")

// turn wakes those who wait for the connection. A client that was closed since has
// nothing to say any more.
func (b *Broker) turn(c mqtt.Client, problem error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if c != b.client {
		return
	}
	b.problem = problem
	close(b.changed)
	b.changed = make(chan struct{})
}
