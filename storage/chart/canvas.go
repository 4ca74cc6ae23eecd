package chart

import (
	"encoding/xml"
	"fmt"
	"strings"
)

// Canvas writes a picture as SVG, element by element.
type Canvas struct{ b strings.Builder }

// Begin opens a picture of a size. It has a title and a description for a person
// who cannot see it.
func (c *Canvas) Begin(title, says string, wide, high int) {
	c.Line(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img"`+
		` aria-labelledby="title description" font-family="sans-serif" font-size="13" fill="%s">`,
		wide, high, wide, high, ink)
	c.Line(`<title id="title">%s</title>`, escaped(title))
	c.Line(`<desc id="description">%s</desc>`, escaped(says))
	c.Line(`<rect width="%d" height="%d" fill="#ffffff"/>`, wide, high)
	c.Say("10", "24", "start", title)
}

// Line writes one element. What people wrote must be in Say, or escaped.
func (c *Canvas) Line(format string, args ...any) { fmt.Fprintf(&c.b, format+"\n", args...) }

// Say writes a text at a place; anchor is start, middle or end.
func (c *Canvas) Say(x, y, anchor, s string) {
	c.Line(`<text x="%s" y="%s" text-anchor="%s">%s</text>`, x, y, anchor, escaped(s))
}

// End closes the picture and returns it.
func (c *Canvas) End() string {
	c.Line("</svg>")
	return c.b.String()
}

// escaped is a text that cannot end the element it is in.
func escaped(s string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		return "" // a strings.Builder takes everything
	}
	return b.String()
}
