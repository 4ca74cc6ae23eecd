package broker_test

import (
	"context"
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"ovenward/alerts/channel/channeltest"
	"ovenward/cmd/internal/broker"
	"ovenward/cmd/internal/broker/brokertest"
)

// patience is how long a test waits for what comes at once if it comes at all.
const patience = 20 * time.Second

// open starts a broker whose connection the test waits for.
func open(t *testing.T, s broker.Settings, filters ...string) *broker.Broker {
	t.Helper()
	s.Pause = 20 * time.Millisecond
	b := broker.New(s, filters...)
	t.Cleanup(b.Close)
	b.Start()
	if err := b.Publish(t.Context(), broker.Outgoing{Key: "up", Topic: brokertest.Name(), Payload: []byte("up")}); err != nil {
		t.Fatal(err)
	}
	return b
}

// publish publishes text on a topic, which is its key as well with the text.
func publish(t *testing.T, b *broker.Broker, topic, text string, retain bool) error {
	t.Helper()
	return b.Publish(t.Context(), broker.Outgoing{Key: topic + text, Topic: topic, Payload: []byte(text), Retain: retain})
}

// take returns the next message that came in, whole.
func take(t *testing.T, b *broker.Broker) broker.Received {
	t.Helper()
	select {
	case m := <-b.Received():
		m.Done()
		return m
	case <-time.After(patience):
		_, why := b.Connected()
		t.Fatalf("no message came in; connection: %v", why)
		return broker.Received{}
	}
}

func TestWhatIsPublishedComesInOverTLS(t *testing.T) {
	t.Parallel()
	topic := brokertest.Name()
	reader := open(t, brokertest.Settings(t), topic+"/+/temp")
	writer := open(t, brokertest.Settings(t))
	for i := range 50 {
		if err := publish(t, writer, topic+"/H1/temp", fmt.Sprint(i), false); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 50 {
		if m := take(t, reader); m.Topic != topic+"/H1/temp" || string(m.Payload) != fmt.Sprint(i) || m.Retained {
			t.Fatalf("message %d is %s %q, retained %t", i, m.Topic, m.Payload, m.Retained)
		}
	}
}

// TestWhatComesWhileTheLineIsCutIsKeptByTheBroker and what is published meanwhile
// is refused at once, until the line is mended.
func TestWhatComesWhileTheLineIsCutIsKeptByTheBroker(t *testing.T) {
	t.Parallel()
	topic, s := brokertest.Name(), brokertest.Settings(t)
	line := channeltest.NewLine(t, host(t, s))
	s.URL = "mqtts://" + line.Address
	b := open(t, s, topic+"/in")
	other := open(t, brokertest.Settings(t), topic+"/out")
	if err := publish(t, other, topic+"/in", "before", false); err != nil {
		t.Fatal(err)
	}
	if m := take(t, b); string(m.Payload) != "before" {
		t.Fatalf("got %q", m.Payload)
	}
	line.Cut()
	until(t, b, false)
	if err := publish(t, b, topic+"/out", "lost?", false); err == nil {
		t.Error("what is published on a line that is cut is no error")
	}
	if err := publish(t, other, topic+"/in", "meanwhile", false); err != nil {
		t.Fatal(err)
	}
	line.Mend()
	m := take(t, b)
	if m.Again && string(m.Payload) == "before" { // the line was cut before the broker heard that we have it
		m = take(t, b)
	}
	if string(m.Payload) != "meanwhile" {
		t.Errorf("got %q", m.Payload)
	}
	until(t, b, true)
	if err := publish(t, b, topic+"/out", "after", false); err != nil {
		t.Error(err)
	}
	if m := take(t, other); string(m.Payload) != "after" {
		t.Errorf("got %q", m.Payload)
	}
}

// TestWhatIsNotDoneComesAgain to a program that is started later under the same
// client id, since the first may have been killed before it was durable.
func TestWhatIsNotDoneComesAgain(t *testing.T) {
	t.Parallel()
	topic, s := brokertest.Name(), brokertest.Settings(t)
	first := open(t, s, topic)
	writer := open(t, brokertest.Settings(t))
	for _, text := range []string{"kept", "lost"} {
		if err := publish(t, writer, topic, text, false); err != nil {
			t.Fatal(err)
		}
	}
	take(t, first)
	if m := <-first.Received(); string(m.Payload) != "lost" { // and Done is not called
		t.Fatalf("got %q", m.Payload)
	}
	first.Close()
	second := open(t, s, topic)
	if m := take(t, second); string(m.Payload) != "lost" || !m.Again {
		t.Errorf("got %q, again %t, want the one that was not done", m.Payload, m.Again)
	}
}

func TestTheBrokerHasTheLastWordOfWhatIsRetained(t *testing.T) {
	t.Parallel()
	topic, s := brokertest.Name(), brokertest.Settings(t)
	s.Status = topic + "/status"
	line := channeltest.NewLine(t, host(t, s))
	s.URL = "mqtts://" + line.Address
	b := open(t, s)
	if err := publish(t, b, topic+"/H1", "cold", true); err != nil {
		t.Fatal(err)
	}
	late := open(t, brokertest.Settings(t), topic+"/#")
	got := map[string]string{}
	for range 2 {
		m := take(t, late)
		got[strings.TrimPrefix(m.Topic, topic)] = fmt.Sprint(string(m.Payload), m.Retained)
	}
	if got["/H1"] != "coldtrue" || got["/status"] != "onlinetrue" {
		t.Errorf("retained %v, want the alarm and that the program is online", got)
	}
	line.Cut()
	if m := take(t, late); m.Topic != s.Status || string(m.Payload) != "offline" {
		t.Errorf("got %s %q once the line was cut, want the broker to say offline", m.Topic, m.Payload)
	}
}

func TestABriefConnectionLeavesTheOtherAlone(t *testing.T) {
	t.Parallel()
	topic, s := brokertest.Name(), brokertest.Settings(t)
	stays := open(t, s, topic)
	s.Brief = true
	brief := broker.New(s)
	defer brief.Close()
	if err := publish(t, brief, topic, "hello", false); err != nil {
		t.Fatal(err)
	}
	if m := take(t, stays); string(m.Payload) != "hello" {
		t.Errorf("got %q", m.Payload)
	}
	if up, why := stays.Connected(); !up {
		t.Errorf("the connection that was there is gone: %v", why)
	}
}

// TestWhyThereIsNoConnectionIsSaid in words of the one who refuses.
func TestWhyThereIsNoConnectionIsSaid(t *testing.T) {
	t.Parallel()
	good := brokertest.Settings(t)
	wrong, stranger, nowhere := good, good, good
	wrong.Password, wrong.ClientID = "not-it", brokertest.Name()
	stranger.TLS, stranger.ClientID = nil, brokertest.Name()
	cut := channeltest.NewLine(t, host(t, good))
	cut.Cut()
	nowhere.URL, nowhere.ClientID = "mqtts://"+cut.Address, brokertest.Name()
	for name, tt := range map[string]struct {
		settings broker.Settings
		want     string
	}{
		"a wrong password":     {wrong, "not Authorized"},
		"an unknown authority": {stranger, "certificate"},
		"a line that is cut":   {nowhere, "network"},
	} {
		for _, brief := range []bool{true, false} {
			tt.settings.Brief = brief
			b := broker.New(tt.settings)
			err := publish(t, b, brokertest.Name(), "x", false)
			b.Close()
			if err == nil || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "not-it") {
				t.Errorf("%s, brief %t: %v, want %q in it and no password", name, brief, err, tt.want)
			}
		}
	}
}

// TestWhatIsOnItsWayIsNotSentTwice: the answer was lost with the line, and the
// caller tries again under the same key.
func TestWhatIsOnItsWayIsNotSentTwice(t *testing.T) {
	t.Parallel()
	topic, s := brokertest.Name(), brokertest.Settings(t)
	other := open(t, brokertest.Settings(t), topic)
	b := open(t, s)
	ended, cancel := context.WithCancel(t.Context())
	cancel() // before the answer can come
	m := broker.Outgoing{Key: "7", Topic: topic, Payload: []byte("once")}
	if err := b.Publish(ended, m); err == nil {
		t.Log("the broker was faster")
	}
	if err := b.Publish(t.Context(), m); err != nil {
		t.Fatal(err)
	}
	if err := publish(t, b, topic, "end", false); err != nil {
		t.Fatal(err)
	}
	if one, two := take(t, other), take(t, other); string(one.Payload) != "once" || string(two.Payload) != "end" {
		t.Errorf("got %q and %q, want each once", one.Payload, two.Payload)
	}
}

// until waits until the connection stands or has broken.
func until(t *testing.T, b *broker.Broker, want bool) {
	t.Helper()
	for end := time.Now().Add(patience); ; {
		if up, _ := b.Connected(); up == want {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("the connection is not %t after %s", want, patience)
		}
		time.Sleep(time.Millisecond)
	}
}

func host(t *testing.T, s broker.Settings) string {
	t.Helper()
	u, err := url.Parse(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	return u.Host
}
