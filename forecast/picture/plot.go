package picture

import (
	"bytes"
	"fmt"
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// MostItems bounds one picture: what is more cannot be read.
const MostItems = 40

// The size of one item's panel.
const (
	panelWide = 8 * vg.Inch
	panelHigh = 2.6 * vg.Inch
)

// The colours are those of Okabe and Ito's palette for every kind of sight
// ("Color Universal Design", 2008); each comes with a form besides.
var (
	blue      = color.RGBA{0x00, 0x72, 0xb2, 0xff}
	paleBlue  = color.RGBA{0xa6, 0xce, 0xe3, 0xff}
	vermilion = color.RGBA{0xd5, 0x5e, 0x00, 0xff}
	ink       = color.RGBA{0x22, 0x22, 0x22, 0xff}
)

// SVG draws the items below each other as one picture. The error names the item
// that cannot be drawn, or says that there are none or too many.
func SVG(all []Outlook) ([]byte, error) {
	c := vgsvg.New(panelWide, vg.Length(max(1, len(all)))*panelHigh)
	return drawn(all, c, c)
}

// PNG is SVG as an image of dots.
func PNG(all []Outlook) ([]byte, error) {
	c := vgimg.New(panelWide, vg.Length(max(1, min(len(all), MostItems)))*panelHigh)
	return drawn(all, c, vgimg.PngCanvas{Canvas: c})
}

func drawn(all []Outlook, c vg.CanvasSizer, out vg.CanvasWriterTo) ([]byte, error) {
	if len(all) == 0 || len(all) > MostItems {
		return nil, fmt.Errorf("a picture of %d items: draw 1 to %d", len(all), MostItems)
	}
	rows := make([][]*plot.Plot, len(all))
	for i, o := range all {
		p, err := o.panel()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", o.Item, err)
		}
		rows[i] = []*plot.Plot{p}
	}
	tiles := draw.Tiles{Rows: len(all), Cols: 1, PadTop: 4, PadBottom: 4, PadLeft: 4, PadRight: 12, PadY: 8}
	for i, canvas := range plot.Align(rows, tiles, draw.New(c)) {
		rows[i][0].Draw(canvas[0])
	}
	var b bytes.Buffer
	_, err := out.WriteTo(&b)
	return b.Bytes(), err
}

// panel draws one item: the likely need as a bar, the high one as a band above
// it, the stock as a dashed line of steps, and a triangle where it is short.
func (o Outlook) panel() (*plot.Plot, error) {
	p := plot.New()
	p.Title.Text = o.Item
	p.Y.Label.Text = o.Unit
	p.Y.Min = 0
	p.Legend.Top = true
	likely, high := make(plotter.Values, len(o.Weeks)), make(plotter.Values, len(o.Weeks))
	labels := make([]string, len(o.Weeks))
	for i, w := range o.Weeks {
		likely[i], high[i], labels[i] = w.Likely, w.high()-w.Likely, w.Label
	}
	if len(labels) == 0 {
		return nil, fmt.Errorf("no week to draw")
	}
	if err := o.bars(p, likely, high); err != nil {
		return nil, err
	}
	if err := o.stock(p); err != nil {
		return nil, err
	}
	p.NominalX(thinned(labels)...)
	p.X.Min, p.X.Max = -0.6, float64(len(labels))-0.4
	p.Y.Max = max(1.35*p.Y.Max, 1) // room for the legend
	return p, nil
}

// bars adds the need, and the band up to the high need where there is one.
func (o Outlook) bars(p *plot.Plot, likely, high plotter.Values) error {
	wide := panelWide * 0.6 / vg.Length(max(8, len(likely)+1))
	need, err := plotter.NewBarChart(likely, wide)
	if err != nil {
		return err
	}
	need.Color, need.LineStyle.Color = blue, blue
	p.Add(need)
	if !ranged([]Outlook{o}) {
		p.Legend.Add("needed", need)
		return nil
	}
	band, err := plotter.NewBarChart(high, wide)
	if err != nil {
		return err
	}
	band.Color, band.LineStyle.Color = paleBlue, blue
	band.StackOn(need)
	p.Add(band)
	p.Legend.Add("half of the time at most (P50)", need)
	p.Legend.Add("nine times of ten at most (P90)", band)
	return nil
}

// stock adds the usable stock as each week begins, and marks the short weeks.
func (o Outlook) stock(p *plot.Plot) error {
	var steps, short plotter.XYs
	for i, w := range o.Weeks {
		x := float64(i)
		steps = append(steps, plotter.XY{X: x - 0.5, Y: w.Stock}, plotter.XY{X: x + 0.5, Y: w.Stock})
		if w.Stock < w.high() {
			short = append(short, plotter.XY{X: x, Y: w.Stock})
		}
	}
	line, err := plotter.NewLine(steps)
	if err != nil {
		return err
	}
	line.Color, line.Width, line.Dashes = ink, vg.Points(1.5), []vg.Length{vg.Points(6), vg.Points(3)}
	p.Add(line)
	p.Legend.Add("usable stock", line)
	if len(short) == 0 {
		return nil
	}
	marks, err := plotter.NewScatter(short)
	if err != nil {
		return err
	}
	marks.Shape, marks.Color, marks.Radius = draw.PyramidGlyph{}, vermilion, vg.Points(5)
	p.Add(marks)
	p.Legend.Add("does not cover it", marks)
	return nil
}

// thinned leaves out labels so that those that stay can be read.
func thinned(labels []string) []string {
	const most = 12
	step := (len(labels) + most - 1) / most
	out := make([]string, len(labels))
	for i := 0; i < len(labels); i += max(1, step) {
		out[i] = labels[i]
	}
	return out
}
