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

// NoClock says that no exposure clock runs for the stock of a row.
const NoClock = "none"

// ExposureRow limits the time in which a covering may take up moisture.
type ExposureRow struct {
	Meta
	Match
	Limit measure.Duration `toml:"limit"`
	Clock string           `toml:"clock"` // NoClock, or empty
}

// HoldRow asks for time back at temperature before rods go out again.
type HoldRow struct {
	Meta
	Match
	Min      Temp             `toml:"min"`
	Max      Temp             `toml:"max"` // not set: no upper limit
	Duration measure.Duration `toml:"duration"`
	Resets   bool             `toml:"resets"` // a complete hold sets the clock to zero
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

// ShelfLifeRow limits the age of stock from its date of manufacture.
type ShelfLifeRow struct {
	Meta
	Match
	Years int `toml:"years"`
}

// FirstUseRow names stock that must be baked before its first use unless it
// came in a tight package with the seal intact.
type FirstUseRow struct {
	Meta
	Match
}

// Band returns the range that the hold asks for.
func (r *HoldRow) Band() evidence.Band {
	return evidence.Band{Min: r.Min.Temperature, Max: r.Max.Temperature, HasMax: r.Max.Given()}
}
