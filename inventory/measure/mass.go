package measure

import "math/big"

// Mass is a mass in micrograms. One pound is exactly 453 592 370 of them.
type Mass int64

// Units of mass.
const (
	Milligram Mass = 1_000
	Gram           = 1_000 * Milligram
	Kilogram       = 1_000 * Gram
	Pound     Mass = 453_592_370
)

var massUnits = unitTable{
	"mg": big.NewRat(1_000, 1), "g": big.NewRat(1_000_000, 1), "kg": big.NewRat(1_000_000_000, 1),
	"t":  big.NewRat(1_000_000_000_000, 1),
	"lb": big.NewRat(453_592_370, 1), "lbs": big.NewRat(453_592_370, 1), "lb.": big.NewRat(453_592_370, 1),
	"pound": big.NewRat(453_592_370, 1), "pounds": big.NewRat(453_592_370, 1),
}

// ParseMass reads "50 lb", "4.5 kg", "250 g". The error is a *UnitError; a
// bare number is refused.
func ParseMass(s string) (Mass, error) {
	n, err := massUnits.parse("mass", s, "a number with kg, g or lb, such as 4.5 kg or 10 lb")
	return Mass(n), err
}

// Grams returns the mass in grams.
func (m Mass) Grams() float64 { return float64(m) / float64(Gram) }

// Kilograms returns the mass in kilograms.
func (m Mass) Kilograms() float64 { return float64(m) / float64(Kilogram) }

// Pounds returns the mass in avoirdupois pounds.
func (m Mass) Pounds() float64 { return float64(m) / float64(Pound) }

// String prints grams below one kilogram and kilograms from there on.
func (m Mass) String() string {
	if m > -Kilogram && m < Kilogram {
		return trimDecimal(int64(m), int64(Gram), 2) + " g"
	}
	return trimDecimal(int64(m), int64(Kilogram), 3) + " kg"
}

// PoundString prints pounds with two decimals at most.
func (m Mass) PoundString() string { return trimDecimal(int64(m), int64(Pound), 2) + " lb" }
