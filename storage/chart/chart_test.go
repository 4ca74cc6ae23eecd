package chart_test

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/chart"
	"ovenward/storage/evidence"
)

var update = flag.Bool("update", false, "write the golden files again")

// start is 06:00 on 5 June 2025 in a zone three hours behind.
var (
	zone  = time.FixedZone("three behind", -3*60*60)
	start = measure.At(time.Date(2025, 6, 5, 9, 0, 0, 0, time.UTC))
)

func after(minutes int64) measure.Instant {
	return start.Add(measure.Duration(minutes) * measure.Minute)
}

func everyHalfHour(fahrenheit ...int64) (all []evidence.Reading) {
	for i, f := range fahrenheit {
		if f != 0 {
			all = append(all, evidence.Reading{At: after(30 * int64(i)), Temp: measure.Fahrenheit(f)})
		}
	}
	return all
}

// oven is a holding oven that lost its heat, then its readings.
func oven() chart.Chart {
	return chart.Chart{
		Title: "H1, a holding oven", Says: "H1 was too cold for 2 h. <Nothing> is known of 2 h.",
		Zone: zone, Units: measure.US, From: start, To: after(12 * 60), MaxGap: measure.Hour,
		Curves: []chart.Curve{{Name: "T-17", Readings: everyHalfHour(255, 260, 255, 250, 240, 220, 230, 249, 250, 258, 0, 0, 0, 0, 262, 0, 0, 0, 0, 255, 256)}},
		Limits: []chart.Limit{{Says: "at least 250 °F (row hold)", At: measure.Fahrenheit(250)},
			{Says: "at most 300 °F (row hold)", At: measure.Fahrenheit(300), Upper: true}},
		Lanes: []chart.Lane{
			{Name: "too cold", Mark: chart.Fault, Stretches: []chart.Stretch{{From: after(90), To: after(240)}}},
			{Name: "no proof", Mark: chart.Unknown, Stretches: []chart.Stretch{{From: after(270), To: after(570), Says: "readings too far apart"}}},
			{Name: "in and out", Mark: chart.Event, Stretches: []chart.Stretch{{From: after(0)}, {From: after(600)}}},
			{Name: "B0001-G with a name too long", Mark: chart.Inside, Stretches: []chart.Stretch{{From: start, To: after(600)}}}},
	}
}

// run is a bake: pre-soak, ramp, soak, and a peak over the maximum.
func run() chart.Chart {
	return chart.Chart{
		Title: "bake of K1 in BK", Says: "The soak was short by 10 min.",
		Zone: zone, Units: measure.SI, From: start, To: after(240), MaxGap: measure.Hour,
		Curves: []chart.Curve{
			{Name: "air", Readings: everyHalfHour(300, 300, 500, 690, 700, 810, 700, 700)},
			{Name: "load", Readings: everyHalfHour(250, 290, 400, 600, 700, 700, 700, 700)}},
		Limits: []chart.Limit{{Says: "set point", At: measure.Fahrenheit(700), Guide: true},
			{Says: "pre-soak at most", At: measure.Fahrenheit(350), Upper: true, Guide: true},
			{Says: "at most 800 °F", At: measure.Fahrenheit(800), Upper: true}},
		Lanes: []chart.Lane{{Name: "pre-soak", Mark: chart.Done, Stretches: []chart.Stretch{{From: start, To: after(30)}}}},
	}
}

func TestChartsAreDrawnAsTheyWere(t *testing.T) {
	t.Parallel()
	for name, got := range map[string]string{
		"oven.txt": oven().Text(80), "oven.svg": oven().SVG(), "bake.txt": run().Text(80), "bake.svg": run().SVG(),
		"empty.txt": chart.Chart{Title: "H2", Zone: zone, From: start, To: start}.Text(0),
	} {
		file := filepath.Join("testdata", name)
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), got); diff != "" {
			t.Errorf("%s differs (-want +got):\n%s", name, diff)
		}
	}
}

// plot returns the lines of a drawing that the curves are in, without margins.
func plot(text string) (labels, lines []string) {
	for _, line := range strings.Split(text, "\n")[1:] {
		label, drawn, found := strings.Cut(line, "|")
		if !found {
			return labels, lines
		}
		labels, lines = append(labels, strings.TrimSpace(label)), append(lines, drawn)
	}
	return labels, lines
}

// What a drawing shows of a day without readings is nothing: from the reading
// before the gap to the one after it no mark stands in any line but the limits'.
func TestNothingIsDrawnThroughAGap(t *testing.T) {
	t.Parallel()
	_, lines := plot(oven().Text(80))
	const wide = 80 - 16 - len(" |") // the label of the longest lane takes its most, 16
	for _, line := range lines {
		r := []rune(line)
		// 10:30 to 13:00 of 06:00 to 18:00, without the columns of both readings.
		for x := wide*270/720 + 1; x < wide*420/720 && x < len(r); x++ {
			if strings.ContainsRune("*.v^", r[x]) {
				t.Errorf("%q has %q in column %d, where nothing was read", line, r[x], x)
			}
		}
	}
}

// anyChart has one curve of arbitrary readings and up to four limits.
func anyChart(t *rapid.T) chart.Chart {
	temps := rapid.Int64Range(-20_000, 400_000)
	c := chart.Chart{Title: "any", Zone: zone, From: start, To: after(24 * 60), MaxGap: measure.Hour,
		Units: rapid.SampledFrom([]measure.UnitSystem{measure.SI, measure.US}).Draw(t, "units")}
	at := measure.Instant(0)
	for range rapid.IntRange(0, 40).Draw(t, "readings") {
		at += measure.Instant(rapid.Int64Range(1, int64(2*measure.Hour)).Draw(t, "later"))
		if len(c.Curves) == 0 {
			c.Curves = []chart.Curve{{Name: "T"}}
		}
		c.Curves[0].Readings = append(c.Curves[0].Readings, evidence.Reading{At: start + at, Temp: measure.Temperature(temps.Draw(t, "temp"))})
	}
	for range rapid.IntRange(1, 4).Draw(t, "limits") {
		l := chart.Limit{At: measure.Temperature(temps.Draw(t, "limit")), Upper: rapid.Bool().Draw(t, "upper"), Guide: rapid.Bool().Draw(t, "guide")}
		l.Says = l.At.In(c.Units)
		c.Limits = append(c.Limits, l)
	}
	return c
}

// alone returns the chart with one reading and one of its limits alone to be
// looked for; the others still push the lines about.
func alone(c chart.Chart, r evidence.Reading) chart.Chart {
	c.Curves = append([]chart.Curve{{Name: "hidden", Readings: nil}}, chart.Curve{Name: "T", Readings: []evidence.Reading{r}})
	return c
}

// A person who looks at the drawing must not see a reading on the other side of a
// limit than it was, in text nor in the picture.
func TestNoReadingIsDrawnOnTheWrongSideOfALimit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		if len(c.Curves) == 0 {
			return
		}
		c = alone(c, rapid.SampledFrom(c.Curves[0].Readings).Draw(t, "reading"))
		r := c.Curves[1].Readings[0]
		if r.At > c.To {
			return
		}
		labels, lines := plot(c.Text(80))
		at := slices.IndexFunc(lines, func(s string) bool { return strings.ContainsAny(s, "*v^") })
		if at < 0 {
			t.Fatalf("the reading is not drawn:\n%s", c.Text(80))
		}
		y := pictureOf(t, c)
		for _, l := range c.Limits {
			row := slices.Index(labels, l.At.In(c.Units)) // of limits that print alike, the upper one
			if n := slices.IndexFunc(c.Limits, func(o chart.Limit) bool { return o.At != l.At && o.Says == l.Says }); n >= 0 {
				continue
			}
			keeps := r.Temp >= l.At
			drawn := at <= row // lines are numbered from the top
			if l.Upper {
				keeps, drawn = r.Temp <= l.At, at >= row
			}
			if keeps != drawn {
				t.Errorf("%s is drawn in line %d, the limit %s (upper: %t) in %d:\n%s", r.Temp.In(c.Units), at, l.Says, l.Upper, row, c.Text(80))
			}
			line := y.limits[l.Says]
			if (r.Temp > l.At && y.reading > line) || (r.Temp < l.At && y.reading < line) || (r.Temp == l.At && y.reading != line) {
				t.Errorf("%s is at %v in the picture, the limit %s at %v", r.Temp.In(c.Units), y.reading, l.Says, line)
			}
		}
	})
}

type heights struct {
	reading float64
	limits  map[string]float64
}

// pictureOf reads back how high the reading and the limits are in the picture.
func pictureOf(t *rapid.T, c chart.Chart) heights {
	h := heights{limits: map[string]float64{}}
	number := func(s string) float64 {
		f, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	var path string
	for d := xml.NewDecoder(strings.NewReader(c.SVG())); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return h
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			for _, a := range e.Attr {
				switch {
				case e.Name.Local == "circle" && a.Name.Local == "cy":
					h.reading = number(a.Value)
				case e.Name.Local == "path" && a.Name.Local == "d":
					path = a.Value
				}
			}
		case xml.CharData:
			if _, known := h.limits[string(e)]; !known && strings.Contains(path, " h") && strings.Count(path, " ") == 2 {
				h.limits[string(e)] = number(strings.Fields(path)[1])
				path = ""
			}
		}
	}
}

// Everything fits the width asked for, whatever the chart, and nothing needs
// colour: text has no control characters.
func TestTextFitsItsWidth(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c, width := anyChart(t), rapid.IntRange(50, 200).Draw(t, "width")
		for line := range strings.SplitSeq(c.Text(width), "\n") {
			if n := utf8.RuneCountInString(line); n > width {
				t.Errorf("%d columns of %d: %q", n, width, line)
			}
			if strings.ContainsRune(line, '\x1b') {
				t.Errorf("colour in %q", line)
			}
		}
	})
}

// On the day the clocks go forward 02:00 is not on the clock; ticks stay at even
// times of the clock on the wall.
func TestClockAlongTheBottomIsTheSites(t *testing.T) {
	t.Parallel()
	halifax, err := time.LoadLocation("America/Halifax")
	if err != nil {
		t.Fatal(err)
	}
	day := measure.Date("2025-03-09") // the clocks went from 02:00 to 03:00
	c := chart.Chart{Title: "H1", Zone: halifax, From: day.At(0, halifax), To: day.End(halifax), MaxGap: measure.Hour}
	lines := strings.Split(c.Text(80), "\n")
	i := slices.IndexFunc(lines, func(s string) bool { return strings.Contains(s, "06:00") })
	if i < 0 {
		t.Fatalf("no clock in:\n%s", c.Text(80))
	}
	got, want := strings.Fields(lines[i]), strings.Fields("9 Mar 06:00 12:00 18:00")
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("clock (-want +got):\n%s", diff)
	}
}
