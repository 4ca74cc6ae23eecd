package main

import (
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/picture"
	"ovenward/inventory/measure"
)

// chartOptions are the ways to draw a forecast.
type chartOptions struct {
	text     bool
	svg, png string
}

func (o *chartOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "chart", Destination: &o.text, Usage: "draw the weeks as lines of text instead of a table"},
		&cli.StringFlag{Name: "svg", Destination: &o.svg, Usage: "draw them as a picture into a `FILE` whose name ends in .svg; - is standard output"},
		&cli.StringFlag{Name: "png", Destination: &o.png, Usage: "draw them as an image into a `FILE` whose name ends in .png"},
	}
}

func (o chartOptions) check() error {
	for _, f := range []struct{ name, flag, end string }{{o.svg, "--svg", ".svg"}, {o.png, "--png", ".png"}} {
		if f.name != "" && !(f.name == "-" && f.end == ".svg") && !strings.HasSuffix(strings.ToLower(f.name), f.end) {
			return usagef("%s %q: the name of the picture ends in %s", f.flag, f.name, f.end)
		}
	}
	return nil
}

// outlooks are the items of a forecast as they are drawn, each with its weeks: the
// likely need with its range where it was simulated, else that of the joints as
// drawn.
func outlooks(look app.Outlook) []picture.Outlook {
	var all []picture.Outlook
	at := map[joint.Item]int{}
	add := func(i joint.Item, w picture.Week) {
		n, known := at[i]
		if !known {
			n = len(all)
			at[i], all = n, append(all, picture.Outlook{Item: i.String(), Unit: amountUnit(i, look.Units)})
		}
		if metal.ByMass(i.Class) {
			one, _ := app.HeavyUnit(1, look.Units)
			w.Likely, w.High, w.Stock = w.Likely*one, w.High*one, w.Stock*one
		}
		all[n].Weeks = append(all[n].Weeks, w)
	}
	if look.Likely.Draws == 0 {
		for _, l := range look.Lines {
			need := float64(l.Pieces)
			add(l.Item, picture.Week{Label: l.Week.String(), Likely: need, High: need, Stock: float64(l.Balance.Usable)})
		}
		return all
	}
	shelf := newShelf(look)
	for _, l := range look.Likely.Weeks {
		add(l.Item, picture.Week{Label: l.Week.String(), Likely: float64(l.P50), High: float64(l.P90),
			Stock: float64(shelf.usable(l.Item, l.Week))})
	}
	return all
}

// amountUnit is what the amounts of an item are in: rods, or the site's unit of mass.
func amountUnit(i joint.Item, units measure.UnitSystem) string {
	if !metal.ByMass(i.Class) {
		return "rods"
	}
	_, unit := app.HeavyUnit(0, units)
	return unit
}

// shelf is the usable stock of each item from week to week, as the joints as drawn
// run it down.
type shelf map[joint.Item][]app.ForecastLine

func newShelf(look app.Outlook) shelf {
	s := shelf{}
	for _, l := range look.Lines {
		s[l.Item] = append(s[l.Item], l)
	}
	return s
}

// usable is what a week begins with: in a week without joints what the last one
// with joints left, and before the first what that one begins with.
func (s shelf) usable(i joint.Item, week measure.Week) int64 {
	var left int64
	for n, l := range s[i] {
		switch {
		case l.Week == week || n == 0 && week.Before(l.Week):
			return l.Balance.Usable
		case week.Before(l.Week):
			return left
		}
		left = max(0, l.Balance.Left)
	}
	return left
}

// draw draws what was asked for; done is true where the forecast is not to be
// printed beside it.
func (o chartOptions) draw(e *env, p *show.Printer, a *forecastAnswer) (done bool, err error) {
	all := outlooks(a.look)
	for _, f := range []struct {
		name string
		draw func([]picture.Outlook) ([]byte, error)
	}{{o.svg, picture.SVG}, {o.png, picture.PNG}} {
		if f.name == "" {
			continue
		}
		made, err := f.draw(all)
		if err != nil {
			return true, err
		}
		if done, err = e.keepPicture(f.name, made); done || err != nil {
			return true, err
		}
	}
	if !o.text || p.Format != show.AsTable || len(all) == 0 {
		return false, nil
	}
	if err := a.headline(p); err != nil {
		return true, err
	}
	wide := p.Width
	if wide == 0 {
		wide = pageWidth
	}
	return true, p.Line("\n%s", strings.TrimSuffix(picture.Text(all, wide), "\n"))
}
