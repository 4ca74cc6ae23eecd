package picture

import (
	"fmt"
	"strings"

	"ovenward/forecast/metal"
	"ovenward/storage/chart"
)

// Sizes of a groove's picture, in its own units.
const (
	grooveWide = 860
	grooveHigh = 300
	grooveTop  = 50
	middle     = 260
	lineHigh   = 18
)

// SVG draws the groove in its proportions: the plates, the layers and every bead
// with its number in the order of welding.
func (g Groove) SVG() []byte {
	high := grooveTop + grooveHigh + (3+len(g.Says))*lineHigh
	c := &chart.Canvas{}
	c.Begin(g.Title, g.Title+". "+strings.Join(g.Says, ". ")+".", grooveWide, high)
	s := g.scale()
	g.plates(c, s)
	layers, first := g.numbered()
	for i, l := range layers {
		g.layer(c, s, l, first[i])
	}
	for i, says := range g.Says {
		c.Say("10", fmt.Sprint(grooveTop+grooveHigh+(i+2)*lineHigh), "start", says)
	}
	return []byte(c.End())
}

// onPaper turns millimetres of a groove into places of its picture.
type onPaper struct{ perMM, top float64 }

func (s onPaper) x(mm float64) string { return fmt.Sprintf("%.1f", middle+mm*s.perMM) }

func (s onPaper) y(height float64) string {
	return fmt.Sprintf("%.1f", grooveTop+30+(s.top-height)*s.perMM)
}

func (g Groove) scale() onPaper {
	wide, tall := max(g.Section.Face.Millimetres(), g.Section.FarFace.Millimetres(), 1), max(g.Section.Top, 1)
	return onPaper{perMM: min(300/wide, (grooveHigh-60)/tall), top: g.Section.Top}
}

// plates draws what is on both sides of the groove, and the bar below it.
func (g Groove) plates(c *chart.Canvas, s onPaper) {
	const steps = 40 // enough for the round of a U
	left, right := []string{}, []string{}
	for i := range steps + 1 {
		height := g.Section.Top * float64(i) / steps
		l, r := g.Section.Sides(height)
		left, right = append(left, s.x(l)+","+s.y(height)), append(right, s.x(r)+","+s.y(height))
	}
	for _, side := range []struct {
		edge string
		at   []string
	}{{"20", left}, {"500", right}} {
		c.Line(`<polygon class="plate" points="%s %s,%s %s,%s" fill="#d9d9d9" stroke="#222222"/>`, strings.Join(side.at, " "),
			side.edge, s.y(g.Section.Top), side.edge, s.y(0))
	}
	if g.Backing {
		l, r := g.Section.Sides(0)
		c.Line(`<rect class="backing" x="%s" y="%s" width="%.1f" height="12" fill="#ffffff" stroke="#222222"/>`,
			s.x(l-3), s.y(0), (r-l+6)*s.perMM)
	}
}

// layer draws the beads of a layer, and beside it the rod that fills it.
func (g Groove) layer(c *chart.Canvas, s onPaper, l metal.Layer, first int64) {
	left, right := g.sides(l)
	at := (l.From + l.To) / 2
	tall := max(l.To-l.From, l.From-l.To) * s.perMM
	each := (right - left) / float64(max(1, l.Beads))
	for i := range l.Beads {
		x := left + each*(float64(i)+0.5)
		c.Line(`<ellipse class="bead" cx="%s" cy="%s" rx="%.1f" ry="%.1f" fill="%s" stroke="#222222"/>`,
			s.x(x), s.y(at), each*s.perMM*0.5, tall*0.5, beadFill(l.Pass))
		c.Line(`<text x="%s" y="%s" text-anchor="middle" dy="4" font-size="11">%d</text>`, s.x(x), s.y(at), first+i)
	}
	c.Say("510", s.y(at), "start", strings.TrimSpace(counted(l.Beads))+" of "+g.Rods[l.Pass])
}

// beadFill tells the passes apart; the words beside the layers do too.
func beadFill(pass int) string {
	return []string{"#ffffff", "#a6cee3", "#fdd0a2"}[pass%3]
}
