package main

import (
	"context"
	"errors"
	"log/slog"
	"net/http"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/folder"
	"ovenward/cmd/internal/push"
	"ovenward/cmd/internal/register"
	"ovenward/cmd/internal/schedule"
	"ovenward/cmd/internal/topic"
)

// readingsHelp says in the help of watch where it reads ovens by itself.
const readingsHelp = `The file also says where ovens are read by themselves. Readings are judged like
those that a person enters; what proves nothing is kept and flagged, see ovenward
oven flagged. How it stands with each source: ovenward oven sources.

   [[readings.folder]]          # CSV files that a logger writes, as they grow
   name = "loggers"
   path = "/srv/loggers"
   files = "*.csv"
   place = "H1"                 # or sensor = the column that names it
   time = "Date/Time"           # columns, unit and layout as oven load has them
   value = "Temp (F)"

   [readings.push]              # loggers that send; needs [listen]
   path = "/readings"
   token_file = "/etc/ovenward/loggers.secret"   # or token_env = "NAME"
   unit = "C"                   # of values that do not say
   max_bytes = 1048576          # of one request

   [[readings.modbus]]          # polled every minute over Modbus TCP
   name = "oven-plc"
   address = "10.0.0.7:502"
   within = "2s"                # for an answer

   [[readings.modbus.point]]
   place = "H1"                 # or a sensor
   unit_id = 1
   kind = "holding"             # or input
   register = 10                # counted from 0
   form = "int16"               # uint16, int32, uint32, float32
   low_word_first = false
   scale = 0.1                  # times this, plus offset
   unit = "C"
   broken = [32767]             # what the device shows for a broken probe

   [[readings.topic]]           # messages of the broker of [mqtt]
   name = "probes"
   topic = "shop/ovens/{sensor}/temp"   # or without {sensor}, and place = "H1"
   value = "temp"               # path in JSON; left out: the message is the number
   time = "at"                  # left out: when it came in
   unit = "C"

A logger posts JSON, {"place":"H1","at":"2025-06-05T07:00:00Z","value":120,
"unit":"C"}, one or many, or text/csv, with Authorization: Bearer and the token. A
value without a time counts from when it came in, a message too; one that the
broker kept from before is no new reading. What is sent twice is stored
once, by sensor and time or by the request's Idempotency-Key.

A file is known again after it was renamed; its last line is read once it has an
end.`

// gatherer reads the ovens from where the settings say.
type gatherer struct {
	app     *app.App
	log     *slog.Logger
	folders []*folder.Folder
	push    *push.Handler // nil: nobody may send any
	devices *register.Devices
	polls   bool // there are devices
}

func newGatherer(a *app.App, log *slog.Logger, s config.Readings) *gatherer {
	g := &gatherer{app: a, log: log, devices: register.New(a, s.Devices), polls: len(s.Devices) > 0}
	for _, f := range s.Folders {
		g.folders = append(g.folders, folder.New(a, f))
	}
	if s.Push != nil {
		g.push = push.New(a, *s.Push, log)
	}
	return g
}

// mount takes what loggers send.
func (g *gatherer) mount(mux *http.ServeMux) {
	if g.push != nil {
		mux.Handle(g.push.Path, g.push)
	}
}

// gatherLane is where readings are fetched. A long file or a dead device holds up
// no look at what is new.
const gatherLane = "readings"

// topics is what listens to a broker, anew each time that it is run. Its client id
// is not that of who publishes alarms: a broker keeps one connection for each.
func (g *gatherer) topics(s config.Config) watchPart {
	at := s.MQTT.Settings
	at.ClientID, at.Status, at.Log = at.ClientID+"-readings", "", g.log
	return func(ctx context.Context) error { return topic.New(g.app, at, s.Readings.Topics, g.log).Run(ctx) }
}

// jobs are what is read every minute.
func (g *gatherer) jobs() []schedule.Job {
	var jobs []schedule.Job
	if len(g.folders) > 0 {
		jobs = append(jobs, schedule.Job{Name: "folders", Lane: gatherLane, Run: schedule.Plain(g.look)})
	}
	if g.polls {
		jobs = append(jobs, schedule.Job{Name: "devices", Lane: "devices", Run: schedule.Plain(g.poll)})
	}
	return jobs
}

// once does all of them.
func (g *gatherer) once(ctx context.Context) error {
	err := g.look(ctx)
	if g.polls {
		err = errors.Join(err, g.poll(ctx), g.devices.Close())
	}
	return err
}

// poll reads the devices.
func (g *gatherer) poll(ctx context.Context) error {
	came, err := g.devices.Poll(ctx)
	for _, c := range came {
		g.flagged("device "+c.Device, c.Flagged)
	}
	return err
}

// look looks into the folders.
func (g *gatherer) look(ctx context.Context) (err error) {
	for _, f := range g.folders {
		came, failed := f.Look(ctx)
		err = errors.Join(err, failed)
		for _, c := range came {
			g.log.Info("read a file", "folder", f.Name, "file", c.File, "new", c.Added, "known", c.Known, "flagged", len(c.Flagged))
			g.flagged("folder "+f.Name+", "+c.File, c.Flagged)
		}
	}
	return err
}

// mostTold is how many flagged values of one go are told one by one.
const mostTold = 5

// flagged tells of values that prove nothing.
func (g *gatherer) flagged(from string, list []app.Flagged) {
	for _, f := range list[:min(len(list), mostTold)] {
		g.log.Warn("a value proves nothing", "from", from, "line", f.Line, "sensor", f.Sensor, "field", f.Field, "value", f.Value,
			"limit", f.Limit, "why", f.Why, "next", f.Next)
	}
	if more := len(list) - mostTold; more > 0 {
		g.log.Warn("more values prove nothing", "from", from, "more", more, "next", "list them with: ovenward oven flagged")
	}
}
