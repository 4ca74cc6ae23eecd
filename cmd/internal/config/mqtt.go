package config

import (
	"cmp"
	"crypto/tls"
	"crypto/x509"
	"net"
	"net/url"

	"ovenward/cmd/internal/broker"
)

// MQTT is the broker that the program speaks to, for alarms and for readings.
type MQTT struct {
	broker.Settings
	Topic string // before every topic that is published, such as "ovenward"
}

// writtenMQTT is the table [mqtt].
type writtenMQTT struct {
	URL          string `toml:"url"`
	ClientID     string `toml:"client_id"`
	User         string `toml:"user"`
	PasswordFile string `toml:"password_file"`
	PasswordEnv  string `toml:"password_env"`
	CAFile       string `toml:"ca_file"`
	Topic        string `toml:"topic"`
	PlainText    bool   `toml:"plain_text"`
}

// mqtt reads the table; nil where there is none.
func (r reader) mqtt(w *writtenMQTT) (*MQTT, error) {
	if w == nil {
		return nil, nil
	}
	u, err := url.Parse(w.URL)
	if err != nil || u.Host == "" || (u.Scheme != "mqtts" && u.Scheme != "mqtt") || u.User != nil {
		return nil, r.fault("url", "%q: such as mqtts://broker.example:8883", w.URL)
	}
	if u.Port() == "" {
		u.Host = net.JoinHostPort(u.Hostname(), map[string]string{"mqtts": "8883", "mqtt": "1883"}[u.Scheme])
	}
	out := &MQTT{broker.Settings{URL: u.String(), ClientID: cmp.Or(w.ClientID, "ovenward"), User: w.User}, cmp.Or(w.Topic, "ovenward")}
	out.Status = out.Topic + "/status"
	if w.User != "" || w.PasswordFile != "" || w.PasswordEnv != "" {
		if out.Password, err = r.secret("password", w.PasswordFile, w.PasswordEnv); err != nil {
			return nil, err
		}
		if u.Scheme == "mqtt" && !w.PlainText && !here(u.Hostname()) {
			return nil, r.fault("url", "%q: a password would go out readable by everybody on the way: use mqtts, or say plain_text = true", w.URL)
		}
	}
	out.TLS, err = r.authority(w.CAFile)
	return out, err
}

// here reports whether a host is this machine.
func here(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || (ip != nil && ip.IsLoopback())
}

// authority reads the certificates of those who vouch for a server; nil, for the
// system's, where no file is named.
func (r reader) authority(file string) (*tls.Config, error) {
	if file == "" {
		return nil, nil
	}
	text, err := r.text("ca_file", file)
	if err != nil {
		return nil, err
	}
	pool := x509.NewCertPool()
	if !pool.AppendCertsFromPEM(text) {
		return nil, r.fault("ca_file", "there is no certificate in %s", file)
	}
	return &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}, nil
}
