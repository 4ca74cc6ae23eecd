package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/alerts/channel"
	"ovenward/cmd/internal/app"
	wallclock "ovenward/cmd/internal/clock"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/lead"
	"ovenward/cmd/internal/pulse"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

func newWatchCommand(e *env) *cli.Command {
	var once bool
	var file string
	return &cli.Command{
		Name:     "watch",
		Category: setUp,
		Usage:    "look every minute for what someone must know now",
		Description: `Says what nears its limit and what is past it, which hold is complete, which oven
is out of range or was not read, and keeps it in the database: see ovenward alert
list. After a stop everything that fell due in the meantime is said once, marked
late; nothing is said twice. It also closes each sensor's day in the ledger with
the digest of its readings. It runs until it is interrupted.

With --config FILE it also tells others. Each [[channel]] of the file has a name
and a kind and says what it is told:

   [[channel]]
   name = "crib"                # as one line of JSON a message
   kind = "file"
   path = "/var/log/ovenward/alarms.jsonl"
   cleared = true               # also when an alarm is over

   [[channel]]
   name = "chief"               # one address; who else is to know has a channel too
   kind = "mail"
   to = "chief@shop.example"

   [[channel]]
   name = "board"               # under ovenward/SITE/alarm/KIND, not retained
   kind = "mqtt"

   [[channel]]
   name = "collector"           # standard output, as JSON, an alarm a line, and
   kind = "stdout"              # nothing else there

   [mail]
   server = "mail.shop.example:587"   # STARTTLS; port 465: TLS from the start
   from = "Ovenward <ovenward@shop.example>"
   user = "ovenward"
   password_file = "/etc/ovenward/mail.password"   # or password_env = "NAME"

   [mqtt]
   url = "mqtts://broker.shop.example:8883"
   client_id = "ovenward-yard"        # no other program may use it
   user = "ovenward"
   password_file = "/etc/ovenward/mqtt.password"
   topic = "ovenward"                 # before every topic

   [[channel]]
   name = "on-call"             # signed by the Standard Webhooks scheme
   kind = "webhook"
   url = "https://pager.example/hook"
   secret_file = "/etc/ovenward/pager.secret"   # or secret_env = "NAME"
   allow = ["10.0.0.5:8080"]    # addresses inside the network, else refused
   priority = "high"            # and what is more urgent
   after = "15m"                # only what nobody has acknowledged for so long
   hours = "18:00-06:00"        # only what happens in this shift
   quiet = "22:00-06:00"        # then nothing but high priority; the rest waits

With [listen] it answers over HTTP: /healthz is 200 while all is well and 503 with
the reasons while it is not, /metrics is for Prometheus.

   [listen]
   address = "127.0.0.1:9464"   # or "unix:/run/ovenward/watch.sock"

Several programs may watch a site: one leads and the others stand by. Where the
leader gave no sign of life for its lease, another takes over, and what the old one
would still write is refused. --once does nothing while a program leads.

   [lead]
   lease = "15s"

An [[alarm]] of the file changes single figures of a kind of alarm: see ovenward
alert kinds --help.

The file and the secret must not be readable by everybody.

` + readingsHelp + upkeepHelp,
		Flags: []cli.Flag{&cli.BoolFlag{Name: "once", Usage: "look once and end", Destination: &once}, configFlag(&file)},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("watch takes no arguments, got %q", c.Args().First())
			}
			return runWatch(c.Context, e, once, file)
		},
	}
}

func runWatch(ctx context.Context, e *env, once bool, file string) error {
	settings := config.Config{Lead: config.Lead{Lease: lead.Lease}}
	if file != "" {
		var err error
		if settings, err = config.Read(file, e.getenv); err != nil {
			return err
		}
	}
	p, err := e.printer()
	if err != nil {
		return err
	}
	e.options = append(e.options, db.WithIdleLimit(frozenFor))
	a, err := e.open(ctx)
	if err != nil {
		return err
	}
	if _, inForce, err := a.RuleSets(ctx); err != nil {
		return err
	} else if inForce == "" {
		fmt.Fprintln(e.errs, "no rule set is in force: nothing nears a limit until QA has approved one: ovenward rules approve")
	}
	log := slog.New(slog.NewTextHandler(e.errs, nil))
	defer reach(&settings, e.out, log, once)()
	if settings.Prints() {
		p.W = io.Discard // the channel says the same there
	}
	w := &watcher{app: a, out: &alarmLines{printer: p, now: e.now}, channels: settings.Channels,
		lists: settings.Lists, reminder: settings.Reminder,
		clock: wallclock.New(a.Now, wallclock.Since())}
	if err := errors.Join(a.SetAlarms(ctx, settings.Alarms), w.join(ctx)); err != nil {
		return err
	}
	w.gather = newGatherer(a, log, settings.Readings)
	if once {
		return errors.Join(w.gather.once(ctx), w.onceIfLeading(ctx, e, settings))
	}
	return w.keepOn(ctx, e, log, settings)
}

// watcher is what the watch does.
type watcher struct {
	app      *app.App
	out      *alarmLines
	channels []config.Channel
	lead     *lead.Lead
	lists    []config.List
	reminder config.Reminder
	pulse    *pulse.Pulse // nil where it looks once
	gather   *gatherer
	clock    *wallclock.Steps
	keeper   *keeper // nil where it looks once
}

// join lets the channels be told of what happens from now on.
func (w *watcher) join(ctx context.Context) error {
	for _, c := range w.channels {
		if err := w.app.Joined(ctx, c.Name); err != nil {
			return err
		}
	}
	return nil
}

// tell tells every channel what is new; one that fails holds up no other.
func (w *watcher) tell(ctx context.Context) (err error) {
	var routes []channel.Route
	for _, c := range w.channels {
		routes = append(routes, c.Route)
	}
	if err := w.app.Escalate(ctx, routes); err != nil {
		return err
	}
	for _, c := range w.channels {
		_, failed := w.app.Tell(ctx, c.Route, c.Sender)
		if failed == nil {
			_, failed = w.app.TellLists(ctx, c.Route, c.Sender)
		}
		err = errors.Join(err, failed)
	}
	return err
}

// look says what is new.
func (w *watcher) look(ctx context.Context) error {
	if c, stepped := w.clock.Look(); stepped {
		if err := w.app.NoteCheck(ctx, c); err != nil {
			return err
		}
	}
	begun := time.Now()
	raised, cleared, err := w.app.Watch(ctx, 0)
	if err != nil {
		return err
	}
	if w.pulse != nil {
		w.pulse.Looked(time.Since(begun))
	}
	if w.out.zone, err = w.app.Zone(ctx); err != nil {
		return err
	}
	if raised, err = w.sumUp(raised); err != nil {
		return err
	}
	for _, a := range raised {
		event := alarm.Raise
		if a.Afterwards {
			event = alarm.Afterwards
		}
		if err := w.out.add(string(event), a); err != nil {
			return err
		}
	}
	for _, a := range cleared {
		if err := w.out.add("cleared", a); err != nil {
			return err
		}
	}
	return nil
}

// manyOver is how many alarms that are over already a person reads one by one
// when the watch was away.
const manyOver = 12

// sumUp says in one line what began and ended while nobody watched, where that
// is much; a program gets every alarm.
func (w *watcher) sumUp(raised []alarmdb.Alarm) ([]alarmdb.Alarm, error) {
	standing := slices.DeleteFunc(slices.Clone(raised), func(a alarmdb.Alarm) bool { return a.Cleared != nil })
	over := len(raised) - len(standing)
	if over <= manyOver || w.out.printer.Format != show.AsTable {
		return raised, nil
	}
	return standing, w.out.printer.Line("%d alarms began and ended while nobody watched: ovenward alert list --all", over)
}

func (w *watcher) closeDays(ctx context.Context) error {
	_, err := w.app.CloseDays(ctx, measure.At(w.app.Now()))
	return err
}

// alarmLines prints alarms one a line, as they come.
type alarmLines struct {
	printer *show.Printer
	now     func() time.Time
	zone    *time.Location
	headed  bool // the heading of CSV is out
}

// alarmLine is what happened to an alarm, for a program.
type alarmLine struct {
	Event string `json:"event"` // "raised", "found afterwards" or "cleared"
	alarmAnswer
}

func (l *alarmLines) add(event string, a alarmdb.Alarm) error {
	now := measure.At(l.now())
	answer := newAlarmAnswer(a, now)
	switch l.printer.Format {
	case show.AsJSON:
		enc := json.NewEncoder(l.printer.W)
		enc.SetEscapeHTML(false)
		return enc.Encode(alarmLine{event, answer})
	case show.AsCSV:
		return l.csv(event, answer.cells(l.zone))
	default:
		return l.text(event, a, answer, now)
	}
}

// text is one line for a person.
func (l *alarmLines) text(event string, a alarmdb.Alarm, answer alarmAnswer, now measure.Instant) error {
	word, notes := strings.ToUpper(answer.Priority), answer.notes(l.zone, now)
	if event == "cleared" {
		word, notes = "OVER", " ("+answer.over(l.zone)+")"
	}
	line := fmt.Sprintf("%s  %-6s  %s%s", when(a.Since, l.zone), word, a.What, notes)
	if a.Stands() || a.Passing() {
		line += " -> " + a.Action
	}
	return l.printer.Line("%s", line)
}

func (l *alarmLines) csv(event string, cells []string) error {
	w := show.NewCSV(l.printer.W)
	if !l.headed {
		if err := w.Write(append([]string{"event"}, alarmHead...)...); err != nil {
			return err
		}
		l.headed = true
	}
	if err := w.Write(append([]string{event}, cells...)...); err != nil {
		return err
	}
	return w.Flush()
}
