// Package config reads the file that says whom the watch tells of alarms and how,
// and where it reads the ovens by itself.
package config

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"ovenward/alerts/alarm"
	"ovenward/alerts/channel"
	"ovenward/inventory/measure"
)

// Config is a file of settings.
type Config struct {
	Lists    []List
	Reminder Reminder
	Channels []Channel
	MQTT     *MQTT // nil: none
	Listen   Listen
	Alarms   []alarm.Setting // of the catalogue
	Readings Readings
	Lead     Lead
	Upkeep   Upkeep
}

// Channel is one that the watch tells, with how it is reached.
type Channel struct {
	channel.Route
	channel.Sender
}

// FileError is something wrong with a file of settings.
type FileError struct {
	File  string
	Where string // the channel and its field; empty for the file as a whole
	Why   string
}

// Error implements error.
func (e *FileError) Error() string {
	if e.Where == "" {
		return fmt.Sprintf("%s: %s", e.File, e.Why)
	}
	return fmt.Sprintf("%s: %s: %s", e.File, e.Where, e.Why)
}

// written is the file as it is written.
type written struct {
	List     []writtenList    `toml:"list"`
	Reminder *writtenReminder `toml:"reminder"`
	Channel  []writtenChannel `toml:"channel"`
	MQTT     *writtenMQTT     `toml:"mqtt"`
	Mail     *writtenMail     `toml:"mail"`
	Listen   *writtenListen   `toml:"listen"`
	Alarm    []alarm.Setting  `toml:"alarm"`
	Readings writtenReadings  `toml:"readings"`
	Lead     *writtenLead     `toml:"lead"`
	Upkeep   *writtenUpkeep   `toml:"upkeep"`
}

type writtenChannel struct {
	Name       string   `toml:"name"`
	Kind       string   `toml:"kind"`
	Priority   string   `toml:"priority"`
	After      string   `toml:"after"`
	Cleared    bool     `toml:"cleared"`
	ListsOnly  bool     `toml:"lists_only"`
	Hours      string   `toml:"hours"`
	Quiet      string   `toml:"quiet"`
	Path       string   `toml:"path"`
	To         string   `toml:"to"`
	URL        string   `toml:"url"`
	Allow      []string `toml:"allow"`
	SecretFile string   `toml:"secret_file"`
	SecretEnv  string   `toml:"secret_env"`
}

// Read reads a file of settings. The error is a *FileError for what is wrong in
// it, and for a file, of settings or of a secret, that everybody may read.
func Read(name string, getenv func(string) string) (Config, error) {
	text, err := private(name)
	if err != nil {
		return Config{}, err
	}
	var w written
	meta, err := toml.Decode(text, &w)
	if err != nil {
		return Config{}, &FileError{name, "", err.Error()}
	}
	if unknown := meta.Undecoded(); len(unknown) > 0 {
		return Config{}, &FileError{name, unknown[0].String(), "there is no such setting"}
	}
	if _, err := alarm.Shipped().With(w.Alarm); err != nil {
		return Config{}, &FileError{name, "", err.Error()}
	}
	c := Config{Alarms: w.Alarm}
	if c.MQTT, err = (reader{name, "mqtt", getenv}).mqtt(w.MQTT); err != nil {
		return Config{}, err
	}
	if c.Listen, err = (reader{name, "listen", getenv}).listen(w.Listen); err != nil {
		return Config{}, err
	}
	if c.Lead, err = (reader{name, "lead", getenv}).lead(w.Lead); err != nil {
		return Config{}, err
	}
	if c.Upkeep, err = (reader{name, "upkeep", getenv}).upkeep(w.Upkeep); err != nil {
		return Config{}, err
	}
	server, err := (reader{name, "mail", getenv}).mail(w.Mail)
	if err != nil {
		return Config{}, err
	}
	for i, ch := range w.Channel {
		r := reader{file: name, where: fmt.Sprintf("channel %s", cmp.Or(ch.Name, fmt.Sprint(i+1))), getenv: getenv}
		one, err := r.channel(ch, c.MQTT, server)
		if err != nil {
			return Config{}, err
		}
		if slices.ContainsFunc(c.Channels, func(o Channel) bool { return o.Name == one.Name }) {
			return Config{}, r.fault("name", "another channel has this name")
		}
		c.Channels = append(c.Channels, one)
	}
	if err := c.lists(name, w); err != nil {
		return Config{}, err
	}
	c.Readings, err = reader{file: name, getenv: getenv}.readings(w.Readings)
	if err == nil && c.Readings.Push != nil && c.Listen.Address == "" {
		err = &FileError{name, "readings.push", "loggers can send nothing without an address: add [listen]"}
	}
	if err == nil && len(c.Readings.Topics) > 0 && c.MQTT == nil {
		err = &FileError{name, "readings.topic", "there is no broker to listen to: add [mqtt]"}
	}
	return c, err
}

// reader reads one channel, or another table.
type reader struct {
	file, where string
	getenv      func(string) string
}

func (r reader) fault(field, format string, args ...any) error {
	return &FileError{r.file, r.where + ", " + field, fmt.Sprintf(format, args...)}
}

func (r reader) channel(w writtenChannel, mqtt *MQTT, server *channel.MailServer) (c Channel, err error) {
	if c.Route, err = r.route(w); err != nil {
		return c, err
	}
	switch w.Kind {
	case "file":
		if w.Path == "" {
			return c, r.fault("path", "say which file")
		}
		c.Sender = channel.File{Path: w.Path}
	case "webhook":
		c.Sender, err = r.webhook(w)
	case "mail":
		c.Sender, err = r.letters(server, w.To)
	case "mqtt":
		if mqtt == nil {
			return c, r.fault("kind", "mqtt needs the table [mqtt] with its broker")
		}
		c.Sender = channel.MQTT{Base: mqtt.Topic}
	case "stdout":
		c.Sender = channel.Lines{}
	default:
		return c, r.fault("kind", "%q: use file, mail, mqtt, stdout or webhook", w.Kind)
	}
	return c, err
}

func (r reader) route(w writtenChannel) (out channel.Route, err error) {
	out.Name, out.Cleared, out.Lists = w.Name, w.Cleared, w.ListsOnly
	if w.Name == "" {
		return out, r.fault("name", "a channel has a name")
	}
	out.Priority = alarm.Priority(w.Priority)
	if !slices.Contains([]alarm.Priority{"", alarm.High, alarm.Medium, alarm.Low}, out.Priority) {
		return out, r.fault("priority", "%q: use high, medium or low", w.Priority)
	}
	if w.After != "" {
		if out.After, err = measure.ParseDuration(w.After); err != nil || out.After <= 0 {
			return out, r.fault("after", "%q: how long, such as 15m", w.After)
		}
	}
	if out.Hours, err = channel.ParseSpan(w.Hours); err != nil {
		return out, r.fault("hours", "%v", err)
	}
	if out.Quiet, err = channel.ParseSpan(w.Quiet); err != nil {
		return out, r.fault("quiet", "%v", err)
	}
	return out, nil
}

func (r reader) webhook(w writtenChannel) (channel.Sender, error) {
	if !strings.HasPrefix(w.URL, "https://") && !strings.HasPrefix(w.URL, "http://") {
		return nil, r.fault("url", "%q: a web address", w.URL)
	}
	secret, err := r.secret("secret", w.SecretFile, w.SecretEnv)
	if err != nil {
		return nil, err
	}
	hook, err := channel.NewWebhook(w.URL, secret, w.Allow)
	if err != nil {
		return nil, r.fault("secret", "%v", err)
	}
	return hook, nil
}
