package main

import (
	"context"
	"fmt"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/measure"
)

func newClimateReadingsCommand(e *env) *cli.Command {
	var t timeOptions
	return &cli.Command{
		Name: "readings", Usage: "what was read, with the moisture it means", ArgsUsage: "PLACE",
		Description: `   ovenward climate readings store --from 2025-06-01 --to 2025-06-30

The moisture is worked out by the Magnus form at 1013.25 hPa: grams of water to a
kilogram of dry air, grains to a pound, and the pressure of the vapour. With
--format csv it is a file that climate load reads back.`,
		Flags: t.flags(),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("climate readings takes one place")
			}
			return runClimateReadings(c.Context, e, c.Args().First(), t)
		},
	}
}

// airAnswer is one reading of the air for a program.
type airAnswer struct {
	At       measure.Instant `json:"at_us"`
	Temp     string          `json:"temperature"`
	Humidity string          `json:"humidity"`
	Moisture string          `json:"moisture_g_kg"`
	Grains   string          `json:"moisture_gr_lb"`
	Vapour   string          `json:"vapour_hpa"`
	MMHg     string          `json:"vapour_mmhg"`
	Weather  string          `json:"weather,omitempty"`
	By       string          `json:"by"`
}

func runClimateReadings(ctx context.Context, e *env, place string, o timeOptions) error {
	p, from, to, err := e.period(ctx, o)
	if err != nil {
		return err
	}
	h, err := p.app.ClimateHistory(ctx, place, from, min(to, p.at))
	if err != nil {
		return err
	}
	answers := airAnswers(h)
	return p.Answer(answers, airTable(h, answers, p.zone))
}

func airAnswers(h app.ClimateHistory) []airAnswer {
	all := []airAnswer{}
	for _, c := range h.Readings {
		a := c.Air()
		all = append(all, airAnswer{At: c.At, Temp: c.Temp.In(h.Units), Humidity: c.RH.String(),
			Moisture: fmt.Sprintf("%.1f", a.Moisture()), Grains: fmt.Sprintf("%.0f", a.Grains()),
			Vapour: fmt.Sprintf("%.1f", a.Vapour()), MMHg: fmt.Sprintf("%.1f", a.VapourMMHg()), Weather: c.Weather, By: c.By})
	}
	return all
}

func airTable(h app.ClimateHistory, list []airAnswer, zone *time.Location) show.Table {
	t := show.Table{Title: "the air of " + h.Place.Name, Right: []int{1, 2, 3, 4, 5, 6},
		Head:  []string{"time", "temperature", "humidity", "g/kg", "gr/lb", "hPa", "mmHg", "weather", "by"},
		Empty: "Nobody read it in that time. Enter a reading with: ovenward climate add \"" + h.Place.Name + "\" 21C 48%"}
	for _, a := range list {
		t.Add(a.At.In(zone), a.Temp, a.Humidity, a.Moisture, a.Grains, a.Vapour, a.MMHg, a.Weather, a.By)
	}
	return t
}
