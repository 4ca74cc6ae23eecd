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

// String prints grams below one kilogram and kilograms from there on; what is
// so many hundredths of a pound and no round metric mass is printed in pounds, as
// it was weighed. What neither prints whole is rounded to 0.01 g or 1 g.
func (m Mass) String() string {
	metric := m.metric(2, 3)
	if back, err := ParseMass(metric); err == nil && back == m {
		return metric
	}
	if back, err := ParseMass(m.PoundString()); err == nil && back != 0 && back-m <= speck && m-back <= speck {
		return m.PoundString()
	}
	return metric
}

// speck is what rounding to a microgram may come to in a sum of ten masses.
const speck Mass = 10

func (m Mass) metric(gramPlaces, kilogramPlaces int) string {
	if m > -Kilogram && m < Kilogram {
		return trimDecimal(int64(m), int64(Gram), gramPlaces) + " g"
	}
	return trimDecimal(int64(m), int64(Kilogram), kilogramPlaces) + " kg"
}

// Exact prints the mass so that ParseMass reads the same one back: as String
// does where that is whole, with all its digits otherwise.
func (m Mass) Exact() string {
	if back, err := ParseMass(m.String()); err == nil && back == m {
		return m.String()
	}
	return m.metric(6, 9)
}

// Near reports whether two masses are printed alike: who reads one off a screen
// and weighs it out means the other.
func (m Mass) Near(o Mass) bool { return m == o || m.String() == o.String() }

// PoundString prints pounds with two decimals at most.
func (m Mass) PoundString() string { return trimDecimal(int64(m), int64(Pound), 2) + " lb" }
