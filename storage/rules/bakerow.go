package rules

import (
	"fmt"
	"strings"

	"ovenward/inventory/measure"
)

// ClockFrom says from when the time of a bake is counted. Codes count from the
// oven's air, makers from the rods: a real disagreement, in which the later one
// keeps both.
type ClockFrom string

// Where the time is counted from. A row that says neither counts from the rods
// where it is known when they are hot, by a sensor among them or by a load lag,
// else from the oven.
const (
	FromOven ClockFrom = "oven"
	FromLoad ClockFrom = "load"
)

// order is the later the stricter.
func (f ClockFrom) order() int {
	return map[ClockFrom]int{FromOven: 0, "": 1, FromLoad: 2}[f]
}

// BakeRow is a drying recipe. What it leaves out it asks nothing of.
type BakeRow struct {
	Meta
	Match
	Min            Temp             `toml:"min"`
	Max            Temp             `toml:"max"`
	Soak           measure.Duration `toml:"soak"`
	SoakMax        measure.Duration `toml:"soak_max"`        // zero: no upper limit
	PresoakPercent int64            `toml:"presoak_percent"` // of the chosen temperature; zero: no pre-soak
	Presoak        measure.Duration `toml:"presoak"`
	ClockFrom      ClockFrom        `toml:"clock_from"`
	RampMax        Rate             `toml:"ramp_max"`  // the fastest rise
	RampOver       measure.Duration `toml:"ramp_over"` // the time over which a rise is measured
	MaxLayers      int64            `toml:"max_layers"`
	MaxDepth       measure.Length   `toml:"max_depth"` // of flux: the row speaks of no deeper layer

	MaxBakes    *int64           `toml:"max_bakes"`    // nil: the row says nothing of their number
	FirstCounts *bool            `toml:"first_counts"` // as in Bakes, for this row's number; nil: as the set says
	MaxTotal    measure.Duration `toml:"max_total"`    // time at temperature in all bakes together

	// OvenSoakMax is the longest soak of rows that count from the oven, in a
	// recipe that keeps them and counts from the load; zero: none.
	OvenSoakMax measure.Duration `toml:"-"`
}

// Rate is a rise of temperature in an hour, with the text it was written as.
type Rate struct {
	PerHour measure.Temperature
	Text    string
}

// UnmarshalText reads "150 C/h" or "300 F/h".
func (r *Rate) UnmarshalText(text []byte) error {
	rise, found := strings.CutSuffix(strings.TrimSpace(string(text)), "/h")
	v, err := measure.ParseTemperatureDifference(rise)
	switch {
	case err != nil:
		return err
	case !found || v <= 0:
		return &measure.UnitError{Kind: "rate", Value: string(text), Why: "not a rise in an hour",
			Write: "a rise in an hour, such as 150 C/h or 300 F/h"}
	}
	*r = Rate{PerHour: v, Text: string(text)}
	return nil
}

// Given reports whether the row gives a rate.
func (r Rate) Given() bool { return r.PerHour != 0 }

// String returns the rate as written.
func (r Rate) String() string { return r.Text }

func (r Rate) fahrenheit() bool { return strings.Contains(strings.ToUpper(r.Text), "F") }

// Window prints the temperatures and times of the recipe, "300 C to 350 C for
// 2 h to 2 h 30 min".
func (r BakeRow) Window() string {
	text := r.Min.String() + " and more"
	if r.Max.Given() {
		text = fmt.Sprintf("%s to %s", r.Min, r.Max)
	}
	text += " for " + r.Soak.Words()
	if r.SoakMax != 0 {
		text += " to " + r.SoakMax.Words()
	}
	return text
}

func (r BakeRow) says() string {
	says := fmt.Sprintf("%s at %s to %s", r.Soak.Words(), r.Min, r.Max)
	if r.SoakMax > 0 {
		says = fmt.Sprintf("%s to %s at %s to %s", r.Soak.Words(), r.SoakMax.Words(), r.Min, r.Max)
	}
	if r.ClockFrom != "" {
		says += fmt.Sprintf(", counted from when the %s is hot", r.ClockFrom)
	}
	if r.Presoak > 0 {
		says += fmt.Sprintf(", first %s at no more than %d %% of the chosen temperature",
			r.Presoak.Words(), r.PresoakPercent)
	}
	if r.RampMax.Given() {
		says += fmt.Sprintf(", rising no faster than %s", r.RampMax)
	}
	return says + r.loads() + r.times()
}

func (r BakeRow) loads() (says string) {
	if r.MaxLayers > 0 {
		says += fmt.Sprintf(", at most %d layers", r.MaxLayers)
	}
	if r.MaxDepth > 0 {
		says += fmt.Sprintf(", no deeper than %s", r.MaxDepth)
	}
	return says
}

func (r BakeRow) times() (says string) {
	if r.MaxBakes != nil {
		says += fmt.Sprintf(", at most %d times", *r.MaxBakes)
	}
	if r.FirstCounts != nil && !*r.FirstCounts {
		says += ", the bake before first use not counted"
	}
	if r.MaxTotal > 0 {
		says += fmt.Sprintf(", at most %s in all", r.MaxTotal.Words())
	}
	return says
}

// LoadLagRow says how long a load trails the oven's air. Of several rows of one
// authority that cover a load the shortest lag applies: it is that of the
// smallest class of load.
type LoadLagRow struct {
	Meta
	Match
	UpToMass   measure.Mass      `toml:"up_to_mass"`   // zero: any mass
	UpToLayers int64             `toml:"up_to_layers"` // zero: any number
	Lag        *measure.Duration `toml:"lag"`
}

func (r LoadLagRow) says() string {
	var of []string
	if r.UpToMass > 0 {
		of = append(of, "up to "+r.UpToMass.String())
	}
	if r.UpToLayers > 0 {
		of = append(of, fmt.Sprintf("up to %d layers", r.UpToLayers))
	}
	if len(of) == 0 {
		of = []string{"any load"}
	}
	return fmt.Sprintf("%s: hot %s after the oven", strings.Join(of, ", "), r.Lag.Words())
}
