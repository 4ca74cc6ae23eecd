// Package rules holds the limits in force: rule sets as data, read, checked
// and resolved for a bundle.
//
// A limit is never a constant of the program. It is a row of a rule set that
// names where it comes from and how well that is known, and a person approves
// the set before it judges anything real.
package rules

import (
	"ovenward/inventory/measure"
)

// Status says how well a row's figure is known.
type Status string

// The statuses. A row from memory must be confirmed by a person against the
// shop's own copy of its source before the set can be approved.
const (
	Confirmed    Status = "confirmed"
	SingleSource Status = "single-source"
	Memory       Status = "memory"
	Shop         Status = "shop"
)

// Authority says whose rule a row is. Where several speak, the tightest
// applies.
type Authority string

// The authorities.
const (
	Code  Authority = "code"
	Maker Authority = "maker"
	Owner Authority = "owner"
	House Authority = "shop"
)

// Set is a rule set.
type Set struct {
	ID         string             `toml:"id"`
	Title      string             `toml:"title"`
	Edition    string             `toml:"edition"`
	UnitSystem measure.UnitSystem `toml:"unit_system"`
	ValidFrom  measure.Date       `toml:"valid_from"`
	ValidTo    measure.Date       `toml:"valid_to"` // empty while in force
	Caution    string             `toml:"caution"`

	Clock    Clock    `toml:"clock"`
	Evidence Evidence `toml:"evidence"`
	Oven     Oven     `toml:"oven"`
	Bakes    Bakes    `toml:"bakes"`
	Issue    Issue    `toml:"issue"`
	Stubs    Stubs    `toml:"stubs"`
	People   People   `toml:"people"`

	Air    AirPolicy   `toml:"air"`
	Shelf  ShelfPolicy `toml:"shelf"`
	Advice Advice      `toml:"advice"`
	Papers Papers      `toml:"papers"`

	Exposure  []ExposureRow  `toml:"exposure"`
	Hold      []HoldRow      `toml:"hold"`
	Bake      []BakeRow      `toml:"bake"`
	LoadLag   []LoadLagRow   `toml:"load_lag"`
	Quiver    []QuiverRow    `toml:"quiver"`
	Packet    []PacketRow    `toml:"packet"`
	Hopper    []HopperRow    `toml:"hopper"`
	Holding   []HoldingRow   `toml:"holding_time"`
	ShelfLife []ShelfLifeRow `toml:"shelf_life"`
	WarmUp    []WarmUpRow    `toml:"warm_up"`
	Blend     []BlendRow     `toml:"blend"`
	CoStorage []CoStorageRow `toml:"co_storage"`
	Loading   []LoadingRow   `toml:"loading"`
	FirstUse  []FirstUseRow  `toml:"first_use"`
	Climate   []ClimateRow   `toml:"climate"`
	ColumnB   []ColumnBRow   `toml:"column_b"`

	IssueSize   []IssueSizeRow   `toml:"issue_size"`
	BaseMetal   []BaseMetalRow   `toml:"base_metal"`
	Service     []ServiceRow     `toml:"service"`
	Certificate []CertificateRow `toml:"certificate"`

	Digest string `toml:"-"` // SHA-256 of the file as read, hexadecimal
	Text   string `toml:"-"` // the file as read
}

// Policy is how the exposure clock treats time at temperature.
type Policy string

// The clock policies. Running keeps counting once started, through anything
// but a complete hold or a valid bake. Summed does not add minutes proven in
// range and lets the balance be used.
const (
	Running Policy = "running"
	Summed  Policy = "summed"
)

// AtLimit says what rods are that come back exactly at their limit.
type AtLimit string

// What may be done at the limit: codes allow use up to it ("shall not exceed")
// and the return to holding only below it ("less than").
const (
	BakeAtLimit AtLimit = "bake"
	HoldAtLimit AtLimit = "hold"
)

// Clock is the policy of the exposure clock.
type Clock struct {
	Policy        Policy  `toml:"policy"`
	WarnPercent   int64   `toml:"warn_percent"` // of the limit
	ReturnAtLimit AtLimit `toml:"return_at_limit"`
}

// Missing says what a bundle is when evidence for its place is missing and the
// answer depends on it.
type Missing string

// What missing evidence means.
const (
	MissingQAHold Missing = "qa-hold"
	MissingOpen   Missing = "open"
)

// Evidence is how readings prove a place's temperature.
type Evidence struct {
	MaxGap  measure.Duration `toml:"max_gap"`
	Missing Missing          `toml:"missing"`
}

// Excursion says what readings out of range do to stock.
type Excursion string

// What an excursion does: it makes minutes of exposure, or it also puts the
// stock before QA.
const (
	ExcursionExposure Excursion = "exposure"
	ExcursionQAHold   Excursion = "qa-hold"
)

// Oven is how excursions of an oven count.
type Oven struct {
	Excursion Excursion        `toml:"excursion"`
	Every     measure.Duration `toml:"check_every"`      // a person looks at each oven as often; zero: no such rule
	Lapsed    Strictness       `toml:"past_calibration"` // a bake where the sensor is past its calibration date
}

// Bakes limits drying runs over a bundle's life. Bake rows may limit them
// further, for some stock.
type Bakes struct {
	Max         int64            `toml:"max"`
	FirstCounts bool             `toml:"first_counts"` // the first bake of stock that came without a tight seal
	MaxTotal    measure.Duration `toml:"max_total"`    // time at temperature in all bakes; zero: no limit
	LoadLag     measure.Duration `toml:"load_lag"`     // any load trails the oven's air by so much
}

// Stubs says whether stubs are counted at return.
type Stubs struct {
	Count bool `toml:"count"`
}
