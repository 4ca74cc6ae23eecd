package channel_test

import (
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"ovenward/alerts/channel"
	"ovenward/alerts/channel/channeltest"
	"ovenward/inventory/measure"
)

// letterbox waits for mail that the server has taken.
func letterbox(t *testing.T, s channeltest.MailServer, address string, want int) (subjects, ids, texts []string) {
	t.Helper()
	list := s.Got(t, address)
	for end := time.Now().Add(20 * time.Second); len(list) < want && time.Now().Before(end); list = s.Got(t, address) {
		time.Sleep(time.Millisecond)
	}
	if len(list) != want {
		t.Fatalf("%d messages for %s, want %d", len(list), address, want)
	}
	for _, m := range list {
		text, err := io.ReadAll(m.Body)
		if err != nil {
			t.Fatal(err)
		}
		subjects, ids, texts = append(subjects, m.Header.Get("Subject")), append(ids, m.Header.Get("Message-Id")), append(texts, string(text))
	}
	return subjects, ids, texts
}

func handedInAt(s channeltest.MailServer, host string) channel.MailServer {
	return channel.MailServer{Host: host, User: s.User, Password: s.Password, TLS: s.TLS, From: "Ovenward <ovenward@shop.example>"}
}

// TestMailArrivesOverBothKindsOfTLS at a real server that takes none without.
func TestMailArrivesOverBothKindsOfTLS(t *testing.T) {
	t.Parallel()
	real := channeltest.Mail(t)
	start, always := handedInAt(real, real.Host), handedInAt(real, real.TLSHost)
	always.Implicit = true
	for name, server := range map[string]channel.MailServer{"STARTTLS": start, "from the start": always} {
		to := channeltest.Box()
		m := channel.Mail{Server: server, To: to}
		msg := message("yard no 1-crib-7")
		msg.Items[0].Since, msg.Items[0].Due = noon, noon.Add(measure.Hour)
		if err := m.Send(t.Context(), msg, noon); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		subjects, ids, texts := letterbox(t, real, to, 1)
		if !strings.HasPrefix(subjects[0], "=?UTF-8?") || ids[0] != "<yard=20no=201-crib-7@shop.example>" {
			t.Errorf("%s: subject %q, id %q", name, subjects[0], ids[0])
		}
		for _, want := range []string{"HIGH    holding oven H1 reads 110", "Do: bring it up", "Until: 2025-06-05 13:00 UTC (0:30 left)", "Since: 2025-06-05 12:00 UTC"} {
			if !strings.Contains(texts[0], want) {
				t.Errorf("%s: %q is not in\n%s", name, want, texts[0])
			}
		}
	}
}

// TestARefusalForGoodIsToldFromOneForNow: by what the server said, and a password
// that is wrong can be mended.
func TestARefusalForGoodIsToldFromOneForNow(t *testing.T) {
	t.Parallel()
	real := channeltest.Mail(t)
	server := handedInAt(real, real.Host)
	locked, stranger, plain := server, server, server
	locked.Password = "not-it"
	stranger.TLS = nil
	plain.Plain, plain.User = true, ""
	for name, tt := range map[string]struct {
		server channel.MailServer
		to     string
		good   bool
		says   string
	}{
		"no such box":           {server, "gone@shop.example", true, "no such person here"},
		"no relay":              {server, "crib@other.example", true, "relays for nobody"},
		"a full box":            {server, "full@shop.example", false, "the box is full"},
		"a wrong password":      {locked, channeltest.Box(), false, "535"},
		"an unknown authority":  {stranger, channeltest.Box(), false, "certificate"},
		"without TLS and user":  {plain, channeltest.Box(), false, "sign in first"},
		"nobody at the address": {channel.MailServer{Host: "127.0.0.1:1", From: server.From}, channeltest.Box(), false, "refused"},
	} {
		err := channel.Mail{Server: tt.server, To: tt.to}.Send(t.Context(), message("k"), noon)
		_, good := errors.AsType[*channel.Refused](err)
		if err == nil || good != tt.good || !strings.Contains(err.Error(), tt.says) || strings.Contains(err.Error(), "not-it") {
			t.Errorf("%s: %v, for good %t, want %t and %q in it", name, err, good, tt.good, tt.says)
		}
	}
}

func TestAMailServerThatIsDownGetsTheMailLater(t *testing.T) {
	t.Parallel()
	real := channeltest.Mail(t)
	line := channeltest.NewLine(t, real.Host)
	to := channeltest.Box()
	m := channel.Mail{Server: handedInAt(real, line.Address), To: to}
	line.Cut()
	for range 3 {
		if err := m.Send(t.Context(), message("yard-crib-7"), noon); err == nil {
			t.Fatal("a line that is cut is no error")
		}
	}
	line.Mend()
	if err := m.Send(t.Context(), message("yard-crib-7"), noon); err != nil {
		t.Fatal(err)
	}
	letterbox(t, real, to, 1)
}

func TestMailCannotBeTurnedElsewhere(t *testing.T) {
	t.Parallel()
	real := channeltest.Mail(t)
	for _, to := range []string{"a@shop.example\r\nBcc: b@shop.example", "a@shop.example, b@shop.example", "", "nobody"} {
		if err := (channel.Mail{Server: handedInAt(real, real.Host), To: to}).Send(t.Context(), message("k"), noon); err == nil {
			t.Errorf("%q is taken for an address", to)
		}
	}
}
