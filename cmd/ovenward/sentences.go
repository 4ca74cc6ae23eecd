package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"ovenward/cmd/internal/show"
)

// pageWidth is that of a screen where the terminal does not tell its own.
const pageWidth = 80

// sentence prints a text for a person, broken at the width of the screen;
// what follows the first line stands below its lead's end.
func sentence(p *show.Printer, lead, text string) error {
	width := p.Width
	if width == 0 {
		width = pageWidth
	}
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	line := lead
	empty := true // nothing but the lead stands on the line
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			if err := p.Line("%s", line); err != nil {
				return err
			}
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	return p.Line("%s", line)
}

// section prints lines under a heading; nothing where there are none.
func section(p *show.Printer, heading string, lines []string) error {
	if len(lines) == 0 {
		return nil
	}
	if err := p.Line("\n%s", heading); err != nil {
		return err
	}
	for _, l := range lines {
		if err := sentence(p, "  ", l); err != nil {
			return err
		}
	}
	return nil
}

// counted prints a number with what it counts.
func counted(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}
