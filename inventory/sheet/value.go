package sheet

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// value is what a cell says: its text, or its number as a person would write it.
// A number that is shown as a percentage has its sign, and one that is shown as
// a date or a time of day is one.
func (b *book) value(stored, shown string) string {
	x, err := strconv.ParseFloat(stored, 64)
	if err != nil || shown == stored || math.IsInf(x, 0) || math.IsNaN(x) {
		return stored // text is always shown as it is stored, even 007
	}
	switch {
	case strings.HasSuffix(strings.TrimSpace(shown), "%"):
		return number(x*100) + " %"
	case x >= 0 && x < 1 && strings.Contains(shown, ":"):
		return clockOf(x)
	case isDate(x, shown):
		if b.since1904 {
			x += days1904
		}
		return dateOf(x)
	}
	return number(x)
}

// number writes a number without what binary arithmetic adds behind the 15
// digits that a spreadsheet keeps.
func number(x float64) string {
	const digits = 15
	short, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	if err != nil || math.Abs(short) >= 1e15 || short != 0 && math.Abs(short) < 1e-9 {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(short, 'f', -1, 64)
}

// The days on which serial numbers count as dates without being shown as such:
// 1954 to 2119. No size or quantity that a cell of a date holds is among them.
const (
	firstSerial = 20_000
	lastSerial  = 80_000
	days1904    = 1462 // between the two beginnings that a workbook may count from
)

// isDate reports whether a number is shown as a date: with letters, or with what
// parts days from months, which no number of that size is.
func isDate(x float64, shown string) bool {
	if x < firstSerial-days1904 || x > lastSerial {
		return false
	}
	if strings.ContainsAny(shown, "/:") || strings.Count(shown, "-") > 1 || strings.Count(shown, ".") > 1 {
		return true
	}
	return strings.ContainsFunc(shown, func(r rune) bool { return unicode.IsLetter(r) && r != 'e' && r != 'E' })
}

// Serial returns the day of a spreadsheet's serial number, which stands for a
// date in a cell that is not shown as one: 46357 is 2026-12-01. False: the text
// is no such number.
func Serial(text string) (string, bool) {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || x < firstSerial || x > lastSerial {
		return "", false
	}
	return dateOf(x), true
}

// clockOf writes a time of day, which is stored as its part of a day.
func clockOf(x float64) string {
	day := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	t := day.Add(time.Duration(math.Round(x*24*60*60)) * time.Second)
	if t.Second() == 0 {
		return t.Format("15:04")
	}
	return t.Format(time.TimeOnly)
}

// dateOf writes the day of a serial number, with the time of day where it has
// one.
func dateOf(x float64) string {
	day, part := math.Modf(x)
	t := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(day))
	const secondsOfDay = 24 * 60 * 60
	seconds := int(math.Round(part * secondsOfDay))
	t = t.Add(time.Duration(seconds) * time.Second)
	switch {
	case seconds == 0:
		return t.Format(time.DateOnly)
	case seconds%60 == 0:
		return t.Format("2006-01-02 15:04")
	}
	return t.Format(time.DateTime)
}
