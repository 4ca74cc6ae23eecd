package config_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ovenward/alerts/alarm"
	"ovenward/alerts/channel"
	"ovenward/cmd/internal/config"
	"ovenward/inventory/measure"
)

// write writes a file with rights.
func write(t *testing.T, name, text string, mode os.FileMode) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), mode); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, mode); err != nil { // whatever the umask is
		t.Fatal(err)
	}
	return path
}

func read(t *testing.T, text string) (config.Config, error) {
	t.Helper()
	return config.Read(write(t, "ovenward.toml", text, 0o600), func(name string) string {
		return map[string]string{"HOOK": "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", "BAD": "hunter2"}[name]
	})
}

func TestAChannelIsReadWhole(t *testing.T) {
	t.Parallel()
	secret := write(t, "hook.secret", "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw\n", 0o400)
	got, err := read(t, `
[[channel]]
name = "crib"
kind = "file"
path = "a.jsonl"
cleared = true

[[channel]]
name = "chief"
kind = "webhook"
url = "https://pager.example/hook"
secret_file = "`+secret+`"
priority = "high"
after = "15m"
hours = "18:00-06:00"
quiet = "22:00-05:30"
`)
	if err != nil || len(got.Channels) != 2 {
		t.Fatalf("%+v, %v, want two channels", got, err)
	}
	want := channel.Route{Name: "chief", Priority: alarm.High, After: 15 * measure.Minute,
		Hours: channel.Span{From: 18 * 60, To: 6 * 60}, Quiet: channel.Span{From: 22 * 60, To: 5*60 + 30}}
	if got.Channels[1].Route != want {
		t.Errorf("chief is %+v, want %+v", got.Channels[1].Route, want)
	}
	if _, ok := got.Channels[1].Sender.(*channel.Webhook); !ok || got.Channels[0].Sender != (channel.File{Path: "a.jsonl"}) || !got.Channels[0].Cleared {
		t.Errorf("channels %+v: a file that is told what is over and a webhook expected", got.Channels)
	}
}

func TestWhatIsWrongInAFileIsNamed(t *testing.T) {
	t.Parallel()
	const file = "[[channel]]\nname = \"crib\"\nkind = \"file\"\npath = \"a.jsonl\"\n"
	const hook = "[[channel]]\nname = \"pager\"\nkind = \"webhook\"\nurl = \"https://pager.example/hook\"\n"
	for text, want := range map[string]string{
		"[[channel]":                                       "toml",
		"[pigeons]\nloft = \"a\"":                          "pigeons",
		"[[channel]]\nkind = \"file\"":                     "name",
		file + file:                                        "another channel",
		file + "colour = \"red\"":                          "colour",
		file + "priority = \"urgent\"":                     "priority",
		file + "after = \"soon\"":                          "after",
		file + "after = \"-5m\"":                           "after",
		file + "hours = \"day\"":                           "hours",
		file + "quiet = \"9:00-9:00\"":                     "quiet",
		strings.Replace(file, "path = \"a.jsonl\"", "", 1): "path",
		strings.Replace(file, "\"file\"", "\"pigeon\"", 1): "kind",
		hook: "secret_file or secret_env",
		hook + "secret_env = \"HOOK\"\nsecret_file = \"x\"":                      "one of them",
		hook + "secret_env = \"NONE\"":                                           "NONE is not set",
		hook + "secret_env = \"BAD\"":                                            "whsec_",
		hook + "secret_file = \"/no/such/file\"":                                 "there is no file",
		strings.Replace(hook, "https://", "ftp://", 1) + "secret_env = \"HOOK\"": "url",
	} {
		_, err := read(t, text)
		if _, ok := errors.AsType[*config.FileError](err); !ok || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one that names %q", text, err, want)
		}
		if err != nil && strings.Contains(err.Error(), "hunter2") {
			t.Errorf("a secret is told: %v", err)
		}
	}
}

func TestWhatEverybodyMayReadIsRefused(t *testing.T) {
	t.Parallel()
	open := write(t, "ovenward.toml", "", 0o644)
	if _, err := config.Read(open, os.Getenv); err == nil || !strings.Contains(err.Error(), "everybody") {
		t.Errorf("settings: %v", err)
	}
	secret := write(t, "hook.secret", "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", 0o604)
	_, err := read(t, "[[channel]]\nname = \"p\"\nkind = \"webhook\"\nurl = \"https://pager.example\"\nsecret_file = \""+secret+"\"\n")
	if err == nil || !strings.Contains(err.Error(), "everybody") {
		t.Errorf("a secret: %v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add("[[channel]]\nname = \"crib\"\nkind = \"file\"\npath = \"a.jsonl\"\nhours = \"06:00-18:00\"")
	f.Add("[[channel]]\nname = \"p\"\nkind = \"webhook\"\nurl = \"https://a.example\"\nsecret_env = \"S\"\nafter = \"15m\"")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := config.Read(write(t, "f.toml", text, 0o600), func(string) string { return "" })
		for _, ch := range c.Channels {
			if err == nil && (ch.Name == "" || ch.Sender == nil) {
				t.Errorf("%q is read as %+v", text, ch)
			}
		}
	})
}
