package alarm

import (
	"fmt"
	"slices"
	"strings"
)

// Kind is what a condition is about.
type Kind string

// The kinds of condition.
const (
	ExposureNear Kind = "exposure-near" // the warning share of the limit is reached
	ExposurePast Kind = "exposure-past" // the limit is reached
	HoldComplete Kind = "hold-complete"
	HoldingNear  Kind = "holding-days-near" // the warning share of the days that stock may lie in holding
	HoldingPast  Kind = "holding-days-past"
	BakeDue      Kind = "bake-due" // rods in the crib have waited too long for their bake
	SlipOpen     Kind = "slip-open"

	OvenCold       Kind = "oven-cold"
	OvenHot        Kind = "oven-hot"
	NoReading      Kind = "no-reading"
	ProbeStuck     Kind = "probe-stuck" // a probe has shown the same for too long
	CalibrationDue Kind = "calibration-due"
	SensorWrong    Kind = "sensor-wrong" // a check changes what was judged by a sensor before it
	CheckMissed    Kind = "check-missed" // nobody looked at an oven when it was due

	ClimateOutside Kind = "climate-outside" // a store's air is outside of what its stock asks for
	ClimateMissing Kind = "climate-missing" // nobody read a store's air on a day

	ShelfLifeNear Kind = "shelf-life-near" // the first warning before a lot's last day
	ShelfLifeLast Kind = "shelf-life-last" // the second
	Expired       Kind = "expired"

	CertificateMissing Kind = "certificate-missing" // a lot has waited too long for it

	StockShort Kind = "stock-short" // less will be there than the plan needs
	OrderLate  Kind = "order-late"

	LedgerUnverified Kind = "ledger-unverified"
	AnchorLate       Kind = "anchor-late"
	BackupFailed     Kind = "backup-failed"
	DiskLow          Kind = "disk-low"
	ClockStep        Kind = "clock-step"
)

var kinds = []Kind{ExposureNear, ExposurePast, HoldComplete, HoldingNear, HoldingPast, BakeDue, SlipOpen,
	OvenCold, OvenHot, NoReading, ProbeStuck, CalibrationDue, SensorWrong, CheckMissed, ClimateOutside, ClimateMissing,
	ShelfLifeNear, ShelfLifeLast, Expired, CertificateMissing, StockShort, OrderLate,
	LedgerUnverified, AnchorLate, BackupFailed, DiskLow, ClockStep}

// Kinds returns every kind.
func Kinds() []Kind { return slices.Clone(kinds) }

// OfLot reports whether the condition is one of a lot.
func (k Kind) OfLot() bool {
	return slices.Contains([]Kind{ShelfLifeNear, ShelfLifeLast, Expired, CertificateMissing}, k)
}

// OfSensor reports whether the condition is one of a sensor.
func (k Kind) OfSensor() bool { return k == SensorWrong }

// OfPlace reports whether the condition is one of a place, not of rods.
func (k Kind) OfPlace() bool {
	return slices.Contains([]Kind{OvenCold, OvenHot, NoReading, ProbeStuck, CheckMissed, ClimateOutside, ClimateMissing}, k)
}

// OfCheck reports whether the condition follows from what a job of the program
// itself found, by Checked.
func (k Kind) OfCheck() bool {
	return slices.Contains([]Kind{StockShort, OrderLate, LedgerUnverified, AnchorLate, BackupFailed, DiskLow, ClockStep}, k)
}

// Unwatched reports whether the watch does not look for the condition yet: its
// entry in the catalogue is there, and nothing raises it.
func (k Kind) Unwatched() bool {
	return slices.Contains([]Kind{BakeDue, SlipOpen, ProbeStuck, CalibrationDue}, k)
}

// ParseKind returns the kind of a name. The error lists them.
func ParseKind(s string) (Kind, error) {
	if slices.Contains(kinds, Kind(s)) {
		return Kind(s), nil
	}
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = string(k)
	}
	return "", fmt.Errorf("unknown alert %q: use one of %s", s, strings.Join(names, ", "))
}
