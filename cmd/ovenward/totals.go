package main

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
)

// totalAnswer is how often and how long a place was in one way, for a program.
type totalAnswer struct {
	Times   int    `json:"times"`
	All     string `json:"all"`
	Longest string `json:"longest"`
	Lowest  string `json:"lowest,omitempty"`
	Highest string `json:"highest,omitempty"`

	total app.Total
}

func newTotalAnswer(t app.Total, u measure.UnitSystem) totalAnswer {
	a := totalAnswer{Times: t.Times, All: t.All.String(), Longest: t.Longest.String(), total: t}
	if t.Read {
		a.Lowest, a.Highest = t.Low.In(u), t.High.In(u)
	}
	return a
}

// words says how often, how long, and how far where that is known.
func (a totalAnswer) words(extreme string) string {
	if a.Times == 0 {
		return "never"
	}
	s := fmt.Sprintf("%s, %s, longest %s", counted(a.Times, "time", "times"), a.inAll(), days(a.total.Longest))
	if extreme != "" {
		s += ", " + extreme
	}
	return s
}

func (a totalAnswer) inAll() string { return days(a.total.All) + " in all" }

// days prints a time in words, in days where it is several.
func days(d measure.Duration) string {
	const several = 2 * measure.Day
	if d < several {
		return d.Words()
	}
	text := fmt.Sprintf("%d days", d/measure.Day)
	if rest := d % measure.Day; rest >= measure.Minute {
		text += " " + (rest - rest%measure.Minute).Words()
	}
	return text
}
