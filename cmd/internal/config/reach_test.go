package config_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ovenward/alerts/channel"
	"ovenward/cmd/internal/broker"
	"ovenward/cmd/internal/broker/brokertest"
)

// TestWhatAChannelPublishesReachesWhoSubscribes through a real broker, alarm by
// alarm and not retained.
func TestWhatAChannelPublishesReachesWhoSubscribes(t *testing.T) {
	t.Parallel()
	topic := brokertest.Name()
	c, err := read(t, "[mqtt]\nurl = \"mqtts://broker.example\"\ntopic = \""+topic+"\"\n[[channel]]\nname = \"board\"\nkind = \"mqtt\"\n"+
		"[[channel]]\nname = \"log\"\nkind = \"stdout\"\n")
	if err != nil {
		t.Fatal(err)
	}
	listener := broker.New(brokertest.Settings(t), topic+"/#")
	defer listener.Close()
	s := brokertest.Settings(t)
	s.Brief = true
	b := broker.New(s)
	defer b.Close()
	var out strings.Builder
	c.Reach(&out, b)
	if err := listener.Publish(t.Context(), broker.Outgoing{Key: "up", Topic: brokertest.Name()}); err != nil {
		t.Fatal(err)
	}
	next := func() (m broker.Received) {
		select {
		case m = <-listener.Received():
			m.Done()
		case <-time.After(20 * time.Second):
			t.Fatal("nothing came in")
		}
		return m
	}
	for n := range 2 { // the first one may come before the broker has the subscription
		m := channel.Message{Site: "yard", Key: fmt.Sprint("yard-board-", n), Items: []channel.Item{{Seq: 7, Kind: "oven-cold", Subject: "H1"}}}
		for _, ch := range c.Channels {
			if err := ch.Send(t.Context(), m, 0); err != nil {
				t.Fatal(err)
			}
		}
	}
	got := next()
	if got.Topic != topic+"/yard/alarm/oven-cold" || got.Retained || !strings.Contains(string(got.Payload), `"key":"yard-board-`) {
		t.Errorf("published %s %s, retained %t", got.Topic, got.Payload, got.Retained)
	}
	if !c.Prints() || strings.Count(out.String(), "\n") != 2 {
		t.Errorf("standard output has %q, want two lines", &out)
	}
}

func TestAChannelThatLacksItsServerIsRefused(t *testing.T) {
	t.Parallel()
	const person = "[[channel]]\nname = \"chief\"\nkind = \"mail\"\nto = \"chief@shop.example\"\n"
	const server = "[mail]\nserver = \"mail.example:587\"\nfrom = \"ovenward@shop.example\"\n"
	for text, want := range map[string]string{
		person: "[mail]",
		"[[channel]]\nname = \"b\"\nkind = \"mqtt\"\n":                             "[mqtt]",
		server + strings.Replace(person, "chief@", "a@shop.example, b@", 1):        "one address",
		strings.Replace(server, ":587", "", 1) + person:                            "server",
		strings.Replace(server, "ovenward@", "", 1) + person:                       "from",
		server + "tls = \"perhaps\"\n" + person:                                    "tls",
		server + "tls = \"none\"\nuser = \"a\"\npassword_env = \"BAD\"\n" + person: "readable by everybody",
		server + "user = \"a\"\n" + person:                                         "password_file or password_env",
		server + "password = \"hunter2\"\n" + person:                               "no such setting",
	} {
		if _, err := read(t, text); err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "hunter2") {
			t.Errorf("%q: %v, want %q named and no secret", text, err, want)
		}
	}
	c, err := read(t, strings.Replace(server, "587", "465", 1)+"user = \"a\"\npassword_env = \"BAD\"\n"+person)
	if err != nil {
		t.Fatal(err)
	}
	m, ok := c.Channels[0].Sender.(channel.Mail)
	if !ok || m.To != "chief@shop.example" || !m.Server.Implicit || m.Server.Password != "hunter2" {
		t.Errorf("read as %T", c.Channels[0].Sender)
	}
}
