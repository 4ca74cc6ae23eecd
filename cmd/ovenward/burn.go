package main

import (
	"fmt"
	"slices"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory"
)

// burnAnswer is the most rods that one welder burns before they are due back, for
// a program: with what it rests on, for QA.
type burnAnswer struct {
	Rods    int64       `json:"rods"`
	Within  int64       `json:"within_s"`
	Rule    string      `json:"rule,omitempty"` // the rule set's row that allows fewer
	One     float64     `json:"arc_s_per_rod,omitempty"`
	Factor  float64     `json:"operating_factor,omitempty"`
	Rate    string      `json:"deposition_rate,omitempty"`
	Deposit float64     `json:"deposits_g_per_rod,omitempty"`
	Rows    []rowAnswer `json:"rows,omitempty"`
	look    app.Burn
}

// newBurn returns nil where there is nothing to offer.
func newBurn(b app.Burn, known bool) *burnAnswer {
	if !known {
		return nil
	}
	a := &burnAnswer{Rods: b.Rods, Within: int64(b.Within.Std() / time.Second), Rule: b.Rule, look: b}
	if b.Rule != "" {
		return a
	}
	a.One, a.Factor, a.Rate = rounded(b.One.Std().Seconds()), b.Pace.Factor.Value, b.Pace.Rate.String()
	a.Deposit = rounded(b.Rod.Deposit())
	for _, r := range slices.Concat(b.Pace.Rows, burnRows(b.Rod)) {
		a.Rows = append(a.Rows, rowAnswer(r))
	}
	return a
}

// burnRows are the table rows behind what one rod deposits.
func burnRows(r metal.Rod) []metal.Row {
	return slices.DeleteFunc(slices.Clone(r.Rows), func(w metal.Row) bool {
		return w.Table == "bead" || w.Table == "coating" && r.Weighed > 0
	})
}

// line is what the attendant sees: how many rods are enough.
func (a *burnAnswer) line() string {
	s := inventory.Rods(a.Rods) + " for one welder until then: "
	if a.Rule != "" {
		return s + "by " + a.Rule
	}
	s += fmt.Sprintf("%.1f min each, arc %.0f %% of the time", a.look.One.Std().Minutes(), a.Factor*100)
	if slices.ContainsFunc(a.Rows, func(r rowAnswer) bool { return r.Status == joint.Memory }) {
		s += " (from memory)"
	}
	return s
}
