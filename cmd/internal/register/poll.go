package register

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// Devices are polled side by side: one that is dead holds up no other.
type Devices struct {
	app *app.App
	all []*device
}

// Came is what a poll brought from a device.
type Came struct {
	Device string
	app.Taken
}

// New returns the devices of a site.
func New(a *app.App, list []Settings) *Devices {
	d := &Devices{app: a}
	for _, s := range list {
		d.all = append(d.all, newDevice(s))
	}
	return d
}

// Poll reads every point once and stores what came. What is wrong with a device is
// noted and is the error.
func (d *Devices) Poll(ctx context.Context) ([]Came, error) {
	came, wrong := make([]Came, len(d.all)), make([]error, len(d.all))
	var polls sync.WaitGroup
	for i, one := range d.all {
		polls.Go(func() {
			came[i].Device = one.settings.Name
			came[i].Taken, wrong[i] = d.poll(ctx, one)
		})
	}
	polls.Wait()
	return came, errors.Join(wrong...)
}

// Close ends the connections.
func (d *Devices) Close() (err error) {
	for _, one := range d.all {
		err = errors.Join(err, one.close())
	}
	return err
}

// poll reads the points of a device. When nothing answers any more the rest is not
// asked.
func (d *Devices) poll(ctx context.Context, one *device) (took app.Taken, wrong error) {
	by := map[string]*app.Intake{}
	for _, p := range one.settings.Points {
		in := by[p.Register.Unit]
		if in == nil {
			in = &app.Intake{Source: ovendb.Source{Kind: ovendb.Register, Name: one.settings.Name, Unit: p.Register.Unit}}
			by[p.Register.Unit] = in
		}
		words, err := one.read(ctx, p)
		if err != nil {
			wrong = errors.Join(wrong, err)
			if one.open == nil {
				break
			}
			continue
		}
		take(in, p, words, measure.At(d.app.Now()))
	}
	for _, in := range by {
		if len(in.Rows)+len(in.Bad) == 0 {
			continue
		}
		t, err := d.app.Take(ctx, *in)
		if err != nil {
			return took, errors.Join(wrong, err)
		}
		took.Added, took.Known, took.Flagged = took.Added+t.Added, took.Known+t.Known, append(took.Flagged, t.Flagged...)
	}
	if ctx.Err() != nil {
		return took, ctx.Err()
	}
	s := ovendb.Source{Kind: ovendb.Register, Name: one.settings.Name}
	return took, errors.Join(wrong, d.app.SourceState(ctx, s, wrong))
}

// take adds what the registers of a point hold.
func take(in *app.Intake, p Point, words []uint16, at measure.Instant) {
	temp, err := p.Temperature(words)
	if err != nil {
		in.Bad = append(in.Bad, app.Flagged{Sensor: p.Sensor, At: at, Quality: feed.Unreadable, Field: "register",
			Value: written(words), Why: err.Error(), Next: "look after the probe and its wiring"})
		return
	}
	in.Rows = append(in.Rows, feed.Row{Sensor: p.Sensor, At: at, Temp: temp})
}

// written writes registers as a device's handbook does.
func written(words []uint16) string {
	text := ""
	for _, w := range words {
		text += fmt.Sprintf("%04X ", w)
	}
	return strings.TrimSpace(text)
}
