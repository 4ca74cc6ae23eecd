package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/show"
	"ovenward/storage/chart"
)

// drawOptions are how an answer is drawn.
type drawOptions struct {
	Trace bool   // in text
	SVG   string // the file of the picture
}

func (o *drawOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "trace", Usage: "draw it, in text", Destination: &o.Trace},
		&cli.StringFlag{Name: "svg", Destination: &o.SVG,
			Usage: "draw it as a picture into a `FILE` whose name ends in .svg; - is standard output, and nothing else is printed"}}
}

func (o *drawOptions) asked() bool { return o.Trace || o.SVG != "" }

// check refuses a name that may be that of something else, such as the database.
func (o *drawOptions) check() error {
	if o.SVG != "" && o.SVG != "-" && !strings.HasSuffix(strings.ToLower(o.SVG), ".svg") {
		return usagef("--svg %q: the name of a picture ends in .svg", o.SVG)
	}
	return nil
}

// drawing is a chart with how it is asked for.
type drawing struct {
	drawOptions
	chart chart.Chart
}

// drawing makes the chart where one is asked for.
func (o drawOptions) drawing(make func() chart.Chart) drawing {
	d := drawing{drawOptions: o}
	if o.asked() {
		d.chart = make()
	}
	return d
}

// onto writes the picture; done is true where it went to standard output, which
// then holds nothing else.
func (d drawing) onto(e *env) (done bool, err error) {
	if d.SVG == "" {
		return false, nil
	}
	return e.keepPicture(d.SVG, []byte(d.chart.SVG()))
}

// keepPicture writes a picture into a file; done is true where it went to
// standard output, which then holds nothing else.
func (e *env) keepPicture(name string, picture []byte) (done bool, err error) {
	if name == "-" {
		_, err := e.out.Write(picture)
		return true, err
	}
	const readable = 0o644
	if err := os.WriteFile(name, picture, readable); err != nil {
		return false, fmt.Errorf("drawing %s: %w; name a file in a folder that you may write to", name, err)
	}
	fmt.Fprintf(e.errs, "drawn into %s\n", name)
	return false, nil
}

// trace draws in text where that is asked for.
func (d drawing) trace(p *show.Printer) error {
	if !d.Trace {
		return nil
	}
	width := p.Width
	if width == 0 {
		width = pageWidth
	}
	return p.Line("%s", d.chart.Text(width))
}
