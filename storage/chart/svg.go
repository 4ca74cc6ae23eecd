package chart

import (
	"fmt"
	"strings"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Sizes of the picture, in its own units.
const (
	pictureWide = 960
	plotLeft    = 130
	plotWide    = pictureWide - plotLeft - 40
	plotTop     = 50
	plotHigh    = 300
	laneHigh    = 20
	lineHigh    = 18
)

// The colours are those of Okabe and Ito's palette for every kind of sight
// ("Color Universal Design", 2008); each of them comes with a shape, a dash or a
// word besides.
const (
	blue      = "#0072b2"
	vermilion = "#d55e00"
	ink       = "#222222"
	grey      = "#767676"
)

// dashes tell the curves of several sensors apart.
var dashes = []string{"", "6 3", "2 2", "8 3 2 3"}

// SVG draws the chart as a picture that stands alone: it has a title and a
// description for a person who cannot see it, and says nothing by colour alone.
func (c Chart) SVG() string {
	p := picture{Chart: c}
	p.low, p.high = c.spread()
	p.open()
	p.plot()
	bottom := p.lanes(plotTop + plotHigh + 2*lineHigh)
	p.key(bottom)
	return p.End()
}

// picture is a chart while it is drawn as SVG.
type picture struct {
	Chart
	low, high measure.Temperature
	Canvas
}

func (p *picture) open() {
	high := plotTop + plotHigh + (3+len(p.Limits)+len(p.Curves))*lineHigh + len(p.Lanes)*laneHigh + 2*lineHigh
	p.Begin(p.Title, p.Says, pictureWide, high)
}

// plot draws the temperatures and the clock.
func (p *picture) plot() {
	p.Line(`<rect x="%d" y="%d" width="%d" height="%d" fill="none" stroke="%s"/>`, plotLeft, plotTop, plotWide, plotHigh, grey)
	for _, t := range p.degrees(p.low, p.high, 6) {
		p.Say(fmt.Sprint(plotLeft-8), tenths(p.tenthsDown(t)+40), "end", t.In(p.Units))
	}
	for _, k := range p.ticks(12) {
		p.Line(`<path d="M%s %d v6" stroke="%s"/>`, p.x(k.at), plotTop+plotHigh, ink)
		p.Say(p.x(k.at), fmt.Sprint(plotTop+plotHigh+lineHigh), "middle", k.text)
	}
	for _, l := range p.Limits {
		dash := ""
		if l.Guide {
			dash = ` stroke-dasharray="10 6"`
		}
		p.Line(`<path d="M%d %s h%d" stroke="%s" stroke-width="1.5"%s><title>%s</title></path>`,
			plotLeft, p.y(l.At), plotWide, ink, dash, escaped(l.Says))
		p.Say(fmt.Sprint(plotLeft+plotWide-4), p.above(l.At), "end", l.At.In(p.Units))
	}
	for i, k := range p.Curves {
		p.curve(k, dashes[i%len(dashes)])
	}
}

// x and y are places in the picture, to a tenth. The rounding keeps their order,
// so that no reading changes sides with a limit.
func (p *picture) x(at measure.Instant) string { return tenths(10*plotLeft + p.along(at, 10*plotWide)) }

func (p *picture) y(t measure.Temperature) string { return tenths(p.tenthsDown(t)) }

// above is the place of a line of text over a limit.
func (p *picture) above(t measure.Temperature) string { return tenths(p.tenthsDown(t) - 40) }

func (p *picture) tenthsDown(t measure.Temperature) int {
	return 10*plotTop + int((p.high-t)*(10*plotHigh)/(p.high-p.low))
}

func tenths(n int) string { return fmt.Sprintf("%d.%d", n/10, n%10) }

// curve draws each run of readings as a line, and those out of the limits as
// triangles that point away from them.
func (p *picture) curve(k Curve, dash string) {
	for _, run := range p.runs(k) {
		var points []string
		for _, r := range p.thin(run) {
			points = append(points, p.x(r.At)+","+p.y(r.Temp))
			p.breach(r)
		}
		if len(points) == 1 {
			at, y, _ := strings.Cut(points[0], ",")
			p.Line(`<circle class="reading" cx="%s" cy="%s" r="2.5" fill="%s"/>`, at, y, blue)
			continue
		}
		p.Line(`<polyline class="readings" points="%s" fill="none" stroke="%s" stroke-width="2" stroke-dasharray="%s"/>`,
			strings.Join(points, " "), blue, dash)
	}
}

// thin leaves of the readings that fall on one place the first, the extremes and
// the last.
func (p *picture) thin(run []evidence.Reading) []evidence.Reading {
	var all []evidence.Reading
	for i := 0; i < len(run); {
		end := i + 1
		low, high := i, i
		for ; end < len(run) && p.along(run[end].At, plotWide) == p.along(run[i].At, plotWide); end++ {
			if run[end].Temp < run[low].Temp {
				low = end
			}
			if run[end].Temp > run[high].Temp {
				high = end
			}
		}
		last := -1
		for _, j := range []int{i, min(low, high), max(low, high), end - 1} {
			if j > last {
				all, last = append(all, run[j]), j
			}
		}
		i = end
	}
	return all
}

func (p *picture) breach(r evidence.Reading) {
	wing, side := 5, p.breaches(r.Temp)
	if side == fine {
		return
	}
	if side == above {
		wing = -5
	}
	p.Line(`<path class="breach" d="M%s %s l-4 %d h8 z" fill="%s"><title>%s, %s</title></path>`,
		p.x(r.At), p.y(r.Temp), -wing, vermilion, escaped(r.At.In(p.Zone)), escaped(r.Temp.In(p.Units)))
}

// lanes draws when something was so, and returns where the next line may begin.
func (p *picture) lanes(y int) int {
	for _, l := range p.Lanes {
		p.Say(fmt.Sprint(plotLeft-8), fmt.Sprint(y+14), "end", cut(l.Name, 16))
		for _, s := range l.Stretches {
			from := p.along(s.From, plotWide)
			wide := max(p.along(max(s.From, s.To), plotWide)-from, 2)
			p.Line(`<rect x="%d" y="%d" width="%d" height="%d" %s><title>%s</title></rect>`,
				plotLeft+from, y+3, wide, laneHigh-6, l.Mark.style(), escaped(p.told(l, s)))
			if s.Says != "" && 7*len(s.Says) < wide { // a letter is hardly wider
				p.Line(`<text x="%d" y="%d" font-size="11" fill="%s">%s</text>`, plotLeft+from+4, y+14, l.Mark.ink(), escaped(s.Says))
			}
		}
		y += laneHigh
	}
	return y
}

// style makes the lanes differ by outline and dash as well as by colour.
func (m Mark) style() string {
	switch m {
	case Fault:
		return `fill="` + vermilion + `" stroke="` + ink + `" stroke-width="2"`
	case Unknown:
		return `fill="#ffffff" stroke="` + ink + `" stroke-dasharray="2 3"`
	case Off:
		return `fill="#ffffff" stroke="` + ink + `"`
	case Event:
		return `fill="` + ink + `"`
	default:
		return `fill="` + blue + `" stroke="none"`
	}
}

// ink is the colour of letters on the lane.
func (m Mark) ink() string {
	if m == Inside || m == Done {
		return "#ffffff"
	}
	return ink
}

// told is what a stretch says when it is pointed at.
func (p *picture) told(l Lane, s Stretch) string {
	text := l.Name + ", " + s.From.In(p.Zone) + " to " + s.To.In(p.Zone)
	if s.Says != "" {
		text += ": " + s.Says
	}
	return text
}

// key says what the lines are.
func (p *picture) key(y int) {
	entry := func(sample, says string) {
		y += lineHigh
		p.Line(`<path d="M%d %d h50" %s/>`, plotLeft, y-4, sample)
		p.Say(fmt.Sprint(plotLeft+60), fmt.Sprint(y), "start", says)
	}
	for i, k := range p.Curves {
		entry(fmt.Sprintf(`stroke="%s" stroke-width="2" stroke-dasharray="%s"`, blue, dashes[i%len(dashes)]),
			k.Name+": readings; no line where they are too far apart")
	}
	for _, l := range p.Limits {
		dash := ""
		if l.Guide {
			dash = ` stroke-dasharray="10 6"`
		}
		entry(fmt.Sprintf(`stroke="%s" stroke-width="1.5"%s`, ink, dash), l.Says)
	}
}
