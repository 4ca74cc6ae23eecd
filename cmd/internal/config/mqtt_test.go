package config_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/cmd/internal/config"
)

func TestTheBrokerIsReadWhole(t *testing.T) {
	t.Parallel()
	password := write(t, "mqtt.password", "Window-7\n", 0o400)
	got, err := read(t, `
[mqtt]
url = "mqtts://broker.example"
client_id = "yard-crib"
user = "ovenward"
password_file = "`+password+`"
topic = "shops/yard"
`)
	if err != nil || got.MQTT == nil {
		t.Fatalf("%+v, %v", got, err)
	}
	s := got.MQTT.Settings
	if s.URL != "mqtts://broker.example:8883" || s.ClientID != "yard-crib" || s.User != "ovenward" || s.Password != "Window-7" ||
		got.MQTT.Topic != "shops/yard" || s.Status != "shops/yard/status" {
		t.Errorf("read as %+v", got.MQTT)
	}
}

func TestWhatIsWrongWithTheBrokerIsNamed(t *testing.T) {
	t.Parallel()
	broken := write(t, "ca.pem", "no certificate", 0o644)
	for text, want := range map[string]string{
		`url = "broker.example"`:                                                "url",
		`url = "https://broker.example"`:                                        "url",
		`url = "mqtt://a:b@broker.example"`:                                     "url",
		"url = \"mqtts://broker.example\"\nuser = \"a\"":                        "password",
		"url = \"mqtts://broker.example\"\npassword = \"a\"":                    "no such setting",
		"url = \"mqtt://broker.example\"\nuser = \"a\"\npassword_env = \"BAD\"": "plain_text",
		"url = \"mqtts://broker.example\"\nca_file = \"" + broken + "\"":        "no certificate",
		"url = \"mqtts://broker.example\"\nca_file = \"/no/such/file\"":         "ca_file",
	} {
		_, err := read(t, "[mqtt]\n"+text)
		if _, ok := errors.AsType[*config.FileError](err); !ok || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "hunter2") {
			t.Errorf("%q: error %v, want one that names %q and no secret", text, err, want)
		}
	}
	for _, text := range []string{
		"url = \"mqtt://broker.example\"\nuser = \"a\"\npassword_env = \"BAD\"\nplain_text = true",
		"url = \"mqtt://127.0.0.1\"\nuser = \"a\"\npassword_env = \"BAD\"",
		`url = "mqtt://broker.example"`,
	} {
		if _, err := read(t, "[mqtt]\n"+text); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}
