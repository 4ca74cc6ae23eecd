package feed

import (
	"fmt"
	"slices"
	"strings"
)

// Layouts says how the layout of times is written.
const Layouts = `it with YYYY, MM, DD, hh, mm, ss and PM, such as "DD.MM.YYYY hh:mm" or "M/D/YYYY h:mm PM"; ` +
	`"epoch" or "epoch ms" for seconds or milliseconds since 1970; nothing for 2025-06-05 06:40`

// layout is how a file writes its times. The zero value is the ISO form.
type layout struct {
	text   string
	fields []field
	epoch  int64 // units in a second; zero: not counted from 1970
}

// field is a number of a time, or one letter between numbers.
type field struct {
	letter   byte // Y M D h m s P, or 0 for a literal
	literal  byte
	min, max int // digits
}

func parseLayout(s string) (layout, error) {
	l := layout{text: s}
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "":
		return layout{}, nil
	case "epoch":
		l.epoch = 1
		return l, nil
	case "epoch ms":
		l.epoch = 1000
		return l, nil
	}
	for i := 0; i < len(s); {
		n := 1
		for i+n < len(s) && s[i+n] == s[i] {
			n++
		}
		f, err := fieldOf(s, i, n)
		if err != nil {
			return layout{}, err
		}
		if f.letter == 0 {
			n = 1
		}
		l.fields = append(l.fields, f)
		i += max(n, f.letters())
	}
	return l, l.check()
}

func (f field) letters() int {
	if f.letter == 'P' {
		return len("PM")
	}
	return 1
}

func fieldOf(s string, i, n int) (field, error) {
	c := s[i]
	fail := func(why string) (field, error) { return field{}, &LayoutError{Layout: s, Why: why} }
	switch {
	case c == 'Y' && (n == 4 || n == 2):
		return field{letter: 'Y', min: n, max: n}, nil
	case strings.IndexByte("MDhms", c) >= 0 && n <= 2:
		return field{letter: c, min: n, max: 2}, nil
	case strings.HasPrefix(s[i:], "PM"):
		return field{letter: 'P'}, nil
	case c >= 'A' && c <= 'Z' && c != 'T', c >= 'a' && c <= 'z', c >= '0' && c <= '9':
		return fail(fmt.Sprintf("%q is no part of a time", s[i:i+n]))
	}
	return field{literal: c}, nil
}

func (l layout) check() error {
	seen := map[byte]int{}
	for _, f := range l.fields {
		seen[f.letter]++
	}
	for _, c := range []byte("YMDhm") {
		if seen[c] == 0 {
			return &LayoutError{Layout: l.text, Why: fmt.Sprintf("no %c in it", c)}
		}
	}
	for _, c := range []byte("YMDhmsP") {
		if seen[c] > 1 {
			return &LayoutError{Layout: l.text, Why: fmt.Sprintf("%c stands in it more than once", c)}
		}
	}
	for i, f := range l.fields[1:] {
		if open := l.fields[i]; open.letter != 0 && open.min < open.max && f.letter != 0 && f.letter != 'P' {
			return &LayoutError{Layout: l.text, Why: fmt.Sprintf("%c has one digit or two and no end", open.letter)}
		}
	}
	return nil
}

// day is the part of a layout that says which day it is.
func (l *layout) day() *layout {
	d := layout{text: l.text}
	for i, f := range l.fields {
		if strings.IndexByte("YMD", f.letter) >= 0 {
			d.fields = l.fields[:i+1]
		}
		if strings.IndexByte("hms", f.letter) >= 0 {
			break
		}
	}
	return &d
}

// wall is a reading of a wall clock.
type wall struct{ year, month, day, hour, minute, second int }

// read reads a time and returns what follows it.
func (l *layout) read(b []byte) (w wall, rest []byte, ok bool) {
	pm := byte(0)
	for _, f := range l.fields {
		switch f.letter {
		case 0:
			if len(b) == 0 || b[0] != f.literal {
				return w, nil, false
			}
			b = b[1:]
		case 'P':
			if len(b) < 2 || b[1]|0x20 != 'm' || (b[0]|0x20 != 'a' && b[0]|0x20 != 'p') {
				return w, nil, false
			}
			pm, b = b[0]|0x20, b[2:]
		default:
			n, digits := 0, 0
			for digits < f.max && digits < len(b) && b[digits] >= '0' && b[digits] <= '9' {
				n = n*10 + int(b[digits]-'0')
				digits++
			}
			if digits < f.min {
				return w, nil, false
			}
			w.set(f, n)
			b = b[digits:]
		}
	}
	return w, b, pm == 0 || w.half(pm)
}

func (w *wall) set(f field, n int) {
	switch f.letter {
	case 'Y':
		if w.year = n; f.max == 2 {
			w.year += 2000
		}
	case 'M':
		w.month = n
	case 'D':
		w.day = n
	case 'h':
		w.hour = n
	case 'm':
		w.minute = n
	case 's':
		w.second = n
	}
}

// half applies the half of the day: 12 AM is midnight, 12 PM noon.
func (w *wall) half(pm byte) bool {
	if w.hour < 1 || w.hour > 12 {
		return false
	}
	w.hour %= 12
	if pm == 'p' {
		w.hour += 12
	}
	return true
}

// exists reports whether a clock can show it, apart from daylight saving.
func (w wall) exists() bool {
	return w.month >= 1 && w.month <= 12 && w.day >= 1 && w.day <= daysIn(w.year, w.month) &&
		w.hour < 24 && w.minute < 60 && w.second < 60
}

func daysIn(year, month int) int {
	switch {
	case month == 2 && year%4 == 0 && (year%100 != 0 || year%400 == 0):
		return 29
	case month == 2:
		return 28
	case slices.Contains([]int{4, 6, 9, 11}, month):
		return 30
	}
	return 31
}

// seconds counts from 1970 as if the clock showed UTC. Days are counted in
// years that begin in March, so that the leap day is the last of them.
func (w wall) seconds() int64 {
	y, m := w.year, w.month-3
	if m < 0 {
		y, m = y-1, m+12
	}
	const march1970 = 719_468 // days from 0000-03-01 to 1970-01-01
	leaps := floorDiv(y, 4) - floorDiv(y, 100) + floorDiv(y, 400)
	days := 365*y + leaps + (153*m+2)/5 + w.day - 1 - march1970
	return int64(days)*86_400 + int64(w.hour*3_600+w.minute*60+w.second)
}

func floorDiv(a, b int) int {
	if a < 0 {
		return (a - b + 1) / b
	}
	return a / b
}
