package main

import (
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/picture"
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

// outlooks are the items of a forecast as they are drawn, in the order in which
// they are listed.
func outlooks(look app.Outlook) []picture.Outlook {
	var all []picture.Outlook
	at := map[joint.Item]int{}
	for _, l := range look.Lines {
		i, known := at[l.Item]
		if !known {
			i = len(all)
			at[l.Item] = i
			all = append(all, picture.Outlook{Item: l.Item.String(), Unit: "rods"})
		}
		all[i].Weeks = append(all[i].Weeks, picture.Week{Label: l.Week.String(), Likely: float64(l.Pieces),
			High: float64(l.Pieces), Stock: float64(l.Balance.Usable)})
	}
	return all
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
