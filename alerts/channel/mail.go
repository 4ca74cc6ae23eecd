package channel

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/mail"
	"strconv"
	"strings"
	"time"

	gomail "github.com/wneessen/go-mail"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// MailServer is where mail is handed in.
type MailServer struct {
	Host     string // host:port
	Implicit bool   // TLS from the start, as on port 465; else by STARTTLS
	Plain    bool   // no TLS at all
	User     string // empty: nobody
	Password string // never in a message or log
	TLS      *tls.Config
	From     string // the sender's address, with a name or without
}

// Mail sends each message to one address as plain text. Its Message-ID is made of
// the message's key, by which a mail program knows one that comes again.
type Mail struct {
	Server MailServer
	To     string
}

// Send implements Sender. It is a *Refused where the server will have no mail for
// the address; that we may not sign in is no such thing, since it can be mended.
func (m Mail) Send(ctx context.Context, msg Message, at measure.Instant) error {
	letter, err := m.letter(msg, at)
	if err != nil {
		return err
	}
	client, err := m.Server.client()
	if err != nil {
		return err
	}
	session, err := client.DialToSMTPClientWithContext(ctx)
	if err != nil {
		return fmt.Errorf("mail server %s: %w", m.Server.Host, err)
	}
	err = client.SendWithSMTPClient(session, letter)
	_ = client.CloseWithSMTPClient(session) // the server has the mail or has not, however we part
	if letter.IsDelivered() {
		return nil
	}
	return m.judged(err)
}

// judged tells a refusal of the address or the mail for good from one for now.
func (m Mail) judged(err error) error {
	said, ok := errors.AsType[*gomail.SendError](err)
	if !ok {
		return fmt.Errorf("mail server %s: %w", m.Server.Host, err)
	}
	about := said.Reason == gomail.ErrSMTPRcptTo || said.Reason == gomail.ErrSMTPData || said.Reason == gomail.ErrSMTPDataClose
	if about && said.ErrorCode()/100 == 5 {
		return &Refused{fmt.Errorf("mail for %s: %w", m.To, err)}
	}
	return fmt.Errorf("mail for %s: %w", m.To, err)
}

func (s MailServer) client() (*gomail.Client, error) {
	host, text, err := net.SplitHostPort(s.Host)
	if err != nil {
		return nil, err
	}
	port, err := strconv.Atoi(text)
	if err != nil {
		return nil, err
	}
	conf := &tls.Config{}
	if s.TLS != nil {
		conf = s.TLS.Clone()
	}
	conf.ServerName, conf.MinVersion = host, max(conf.MinVersion, tls.VersionTLS12)
	opts := []gomail.Option{gomail.WithPort(port), gomail.WithTimeout(sendWithin), gomail.WithTLSConfig(conf),
		gomail.WithTLSPolicy(gomail.TLSMandatory)}
	switch {
	case s.Implicit:
		opts = append(opts, gomail.WithSSL())
	case s.Plain:
		opts = append(opts, gomail.WithTLSPolicy(gomail.NoTLS))
	}
	if s.User != "" {
		opts = append(opts, gomail.WithSMTPAuth(gomail.SMTPAuthAutoDiscover), gomail.WithUsername(s.User), gomail.WithPassword(s.Password))
	}
	return gomail.NewClient(host, opts...)
}

func (m Mail) letter(msg Message, at measure.Instant) (*gomail.Msg, error) {
	out := gomail.NewMsg(gomail.WithNoDefaultUserAgent())
	if err := errors.Join(out.From(m.Server.From), out.To(m.To)); err != nil {
		return nil, err
	}
	from, err := mail.ParseAddress(m.Server.From)
	if err != nil {
		return nil, err
	}
	_, domain, _ := strings.Cut(from.Address, "@")
	out.SetMessageIDWithValue(messageID(msg.Key) + "@" + domain)
	out.SetDateWithValue(at.Time().UTC())
	out.Subject(subject(msg))
	out.SetGenHeader("Auto-Submitted", "auto-generated") // RFC 3834: no answer from who is away
	if len(msg.Items) > 0 && msg.Urgent() == alarm.High {
		out.SetImportance(gomail.ImportanceHigh)
	}
	zone := time.UTC
	if msg.Zone != nil {
		zone = msg.Zone
	}
	out.SetBodyString(gomail.TypeTextPlain, letterText(msg, zone))
	return out, nil
}

// messageID writes a key with the characters alone that RFC 5322 has in the left
// half of a Message-ID; two keys never become one.
func messageID(key string) string {
	var b strings.Builder
	for _, c := range []byte(key) {
		if c == '-' || c == '_' || '0' <= c && c <= '9' || 'A' <= c && c <= 'Z' || 'a' <= c && c <= 'z' {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "=%02X", c)
		}
	}
	return b.String()
}
