package rules

import (
	"strings"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// Meta is what every row says of itself.
type Meta struct {
	Row       string    `toml:"row"` // its name, unique in the set
	Authority Authority `toml:"authority"`
	Source    string    `toml:"source"`
	Status    Status    `toml:"status"`
	Note      string    `toml:"note"`
	Follows   string    `toml:"follows"` // the row that it claims to follow: "set/row", or "row" of this set
	Ruling    string    `toml:"ruling"`  // who ruled that it may be looser than that one
}

// Temp is a temperature with the text it was written as.
type Temp struct {
	measure.Temperature
	Text string
}

// UnmarshalText reads the temperature and keeps its text.
func (t *Temp) UnmarshalText(text []byte) error {
	v, err := measure.ParseTemperature(string(text))
	if err != nil {
		return err
	}
	*t = Temp{Temperature: v, Text: string(text)}
	return nil
}

// Given reports whether the row gives the temperature.
func (t Temp) Given() bool { return t.Text != "" }

// String returns the temperature as written.
func (t Temp) String() string { return t.Text }

func (t Temp) fahrenheit() bool {
	return strings.HasSuffix(strings.ToUpper(strings.TrimSpace(t.Text)), "F")
}

// What runs for the stock of a row besides the set's own clock: none at all, or
// one that runs on from the first opening whatever happens, as some makers count
// the days of a spool.
const (
	NoClock = "none"
	Elapsed = "elapsed"
)

// ExposureRow limits the time in which a covering may take up moisture.
type ExposureRow struct {
	Meta
	Match
	Limit  measure.Duration `toml:"limit"`
	Clock  string           `toml:"clock"`              // NoClock, Elapsed, or empty
	Bagged *bool            `toml:"count_while_bagged"` // time back in the pack counts; nil: it does
}

// PausesInPack reports whether the clock stands still while the stock is back in
// its pack.
func (r *ExposureRow) PausesInPack() bool { return r.Bagged != nil && !*r.Bagged }

// HoldRow asks for time back at temperature before rods go out again.
type HoldRow struct {
	Meta
	Match
	Min      Temp             `toml:"min"`
	Max      Temp             `toml:"max"` // not set: no upper limit
	Duration measure.Duration `toml:"duration"`
	Resets   bool             `toml:"resets"`  // a complete hold sets the clock to zero
	Cabinet  bool             `toml:"cabinet"` // it also takes what is past its limit, and is owed by nothing within it
}

// QuiverRow gives credit for time in a portable oven that is proven hot.
type QuiverRow struct {
	Meta
	Match
	Min    Temp             `toml:"min"`
	Total  measure.Duration `toml:"total"`   // open and portable time together; zero: no credit of its own
	AsHold bool             `toml:"as_hold"` // at hold temperature it counts as a holding oven
	OnDip  Dip              `toml:"on_dip"`
}

// Dip says what open time does to a quiver's credit.
type Dip string

// A dip is open time and nothing more, or it takes the credit away: portable
// time before it and after it counts as open time until the clock is set to
// zero.
const (
	DipOpens   Dip = "open"
	DipReverts Dip = "revert"
)

// PacketRow limits the time of rods left in their opened packet.
type PacketRow struct {
	Meta
	Match
	Limit measure.Duration `toml:"limit"`
}

// HoldingRow limits the total time in holding.
type HoldingRow struct {
	Meta
	Match
	MaxDays int64 `toml:"max_days"`
}

// FirstUseRow names stock that must be baked before its first use unless it
// came in a tight package with the seal intact.
type FirstUseRow struct {
	Meta
	Match
	Damaged bool `toml:"only_damaged"` // only stock whose package came damaged
}

// Range says the temperatures of the hold: "120 C to 150 C", "250 F or more".
func (r *HoldRow) Range() string {
	if r.Max.Given() {
		return r.Min.String() + " to " + r.Max.String()
	}
	return r.Min.String() + " or more"
}

// Band returns the range that the hold asks for.
func (r *HoldRow) Band() evidence.Band {
	return evidence.Band{Min: r.Min.Temperature, Max: r.Max.Temperature, HasMax: r.Max.Given()}
}
