package main

import (
	"fmt"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// workAnswer is what the need of an item takes of welders and of money. Money is
// left out where the shop's tables have no price or wage.
type workAnswer struct {
	Class    string      `json:"class"`
	Unit     string      `json:"unit,omitempty"` // g where rods_per_shift are grams of wire
	Diameter float64     `json:"diameter_mm"`
	Arc      float64     `json:"arc_h"`
	Hours    float64     `json:"welder_h"`
	Shift    int64       `json:"rods_per_shift"` // of eight hours
	Rate     string      `json:"deposition_rate"`
	Factor   float64     `json:"operating_factor"`
	Filler   float64     `json:"filler_cost,omitempty"`
	Labour   float64     `json:"labour_cost,omitempty"`
	Rows     []rowAnswer `json:"rows"`
	item     joint.Item
}

func workAnswers(list []app.ItemWork) []workAnswer {
	all := []workAnswer{}
	for _, w := range list {
		a := workAnswer{Class: w.Item.Class, Unit: gramsOf(w.Item), Diameter: millimetres(w.Item), Arc: inHours(w.Arc), Hours: inHours(w.Hours),
			Shift: w.Shift, Rate: w.Pace.Rate.String(), Factor: w.Pace.Factor.Value,
			Filler: cents(w.Filler), Labour: cents(w.Labour), item: w.Item}
		for _, r := range slices.Concat(w.Pace.Rows, w.Money.Rows) {
			a.Rows = append(a.Rows, rowAnswer(r))
		}
		all = append(all, a)
	}
	return all
}

func inHours(d measure.Duration) float64 { return rounded(d.Std().Hours()) }

func cents(x float64) float64 { return float64(int64(x*100+0.5)) / 100 }

// text says what an item takes of welders.
func (w workAnswer) text(units measure.UnitSystem) string {
	s := fmt.Sprintf("%s: %.1f welder hours, %.1f of them arc (%s%s, arc %.0f %% of the time%s); %s a shift of 8 h",
		w.item, w.Hours, w.Arc, w.Rate, w.mark("rate"), w.Factor*100, w.mark("operating_factor"), app.ItemWords(w.item, w.Shift, units))
	if w.Filler > 0 {
		s += fmt.Sprintf("; %s %.2f", w.noun(), w.Filler)
	}
	if w.Labour > 0 {
		s += fmt.Sprintf("; labour %.2f", w.Labour)
	}
	return s
}

func (w workAnswer) noun() string {
	if w.Unit != "" {
		return "wire"
	}
	return "rods"
}

func (w workAnswer) mark(table string) string { return basisAnswer{Rows: w.Rows}.mark(table) }

// workLines are the lines of all items.
func (a *forecastAnswer) workLines() []string {
	var lines []string
	for _, w := range a.Work {
		lines = append(lines, w.text(a.look.Units))
	}
	return lines
}
