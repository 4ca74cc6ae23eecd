package config

import (
	"net"
	"net/mail"
	"strings"

	"ovenward/alerts/channel"
)

// writtenMail is the table [mail].
type writtenMail struct {
	Server       string `toml:"server"`
	TLS          string `toml:"tls"`
	User         string `toml:"user"`
	PasswordFile string `toml:"password_file"`
	PasswordEnv  string `toml:"password_env"`
	CAFile       string `toml:"ca_file"`
	From         string `toml:"from"`
}

// mail reads the table; nil where there is none.
func (r reader) mail(w *writtenMail) (*channel.MailServer, error) {
	if w == nil {
		return nil, nil
	}
	host, port, err := net.SplitHostPort(w.Server)
	if err != nil || host == "" || port == "" || strings.Trim(port, "0123456789") != "" {
		return nil, r.fault("server", "%q: host and port, such as mail.example:587", w.Server)
	}
	if _, err := mail.ParseAddress(w.From); err != nil {
		return nil, r.fault("from", "%q: an address such as ovenward@shop.example", w.From)
	}
	out := &channel.MailServer{Host: w.Server, From: w.From, User: w.User, Implicit: w.TLS == "always" || (w.TLS == "" && port == "465")}
	switch w.TLS {
	case "", "starttls", "always":
	case "none":
		out.Plain = true
	default:
		return nil, r.fault("tls", "%q: use starttls, always or none", w.TLS)
	}
	if w.User != "" || w.PasswordFile != "" || w.PasswordEnv != "" {
		if out.Plain && !here(host) {
			return nil, r.fault("tls", "none: a password would go out readable by everybody on the way")
		}
		if out.Password, err = r.secret("password", w.PasswordFile, w.PasswordEnv); err != nil {
			return nil, err
		}
	}
	out.TLS, err = r.authority(w.CAFile)
	return out, err
}

// letters returns the channel of a person who gets mail.
func (r reader) letters(server *channel.MailServer, to string) (channel.Sender, error) {
	if server == nil {
		return nil, r.fault("kind", "mail needs the table [mail] with its server")
	}
	a, err := mail.ParseAddress(to)
	if err != nil {
		return nil, r.fault("to", "%q: one address; who else is to know has a channel of his own", to)
	}
	return channel.Mail{Server: *server, To: a.Address}, nil
}
