// Package designation reads the classification marks of welding consumables, such as
// E7018-1 H4R or E 46 3 1Ni B 42 H5, into fields that a storage rule can match.
//
// Eleven specifications are known; see Specs. Every grammar has a file of its own with its
// pattern, its semantic checks and its printed form. The token lists that grow with each
// edition are data in tokens.txt.
package designation

// A Spec names the specification that a mark belongs to.
type Spec string

// The specifications whose marks are read. A metric edition (A5.1M) is the same Spec as
// the US customary one.
const (
	A51      Spec = "A5.1"       // carbon steel covered electrodes
	A55      Spec = "A5.5"       // low-alloy steel covered electrodes
	ISO2560A Spec = "ISO 2560-A" // covered electrodes by yield strength and 47 J
	ISO2560B Spec = "ISO 2560-B" // covered electrodes by tensile strength and 27 J
	A54      Spec = "A5.4"       // stainless covered electrodes
	A520     Spec = "A5.20"      // carbon steel flux-cored wire
	A536     Spec = "A5.36"      // open classification of cored wire
	A517     Spec = "A5.17"      // carbon steel wire and flux for submerged arc
	A518     Spec = "A5.18"      // carbon steel solid and metal-cored wire, TIG rod
	A59      Spec = "A5.9"       // stainless bare wire and rod
	A514     Spec = "A5.14"      // nickel and nickel-alloy bare wire and rod
)

// Specs returns the known specifications in the order in which they are tried.
func Specs() []Spec {
	return []Spec{A51, A55, ISO2560A, ISO2560B, A54, A520, A536, A517, A518, A59, A514}
}

// A Family groups consumables that are stored and dried alike.
type Family string

// The families. A covered electrode's family follows from its covering; wires and fluxes
// have one family each.
const (
	LowHydrogen Family = "low-hydrogen"
	Cellulosic  Family = "cellulosic"
	Rutile      Family = "rutile"
	IronOxide   Family = "iron-oxide"
	Acid        Family = "acid"
	Stainless   Family = "stainless"    // every A5.4 mark; Fields["usability"] tells lime from rutile
	SolidWire   Family = "solid-wire"   // A5.18, A5.9 and A5.14 solid wire and rod
	CoredWire   Family = "cored-wire"   // flux-cored and metal-cored
	SAWFlux     Family = "saw-flux"     // one half of a flux-wire pair
	MakerStated Family = "maker-stated" // ISO 2560-B covering 40: only the maker can say
)

// A Mark is one classification read from a label.
type Mark struct {
	// Raw is the text exactly as it was given, the whole label if it carried several marks.
	Raw  string
	Spec Spec
	// Canonical is the printed form to show. It parses again to the same mark under Spec.
	Canonical string
	// Strength is the figure printed in the mark: tensile strength in ksi (70, 110) or in
	// 10 MPa (49), in 10 ksi for A5.20, A5.36 and A5.17 (7), yield strength in 10 MPa for
	// ISO 2560-A (42). It is 0 where the mark has none (A5.4).
	Strength int
	// StrengthKSI is the class strength of A5.1 and A5.5 marks in ksi, 60 to 120, with the
	// metric classes 43, 49, 55, 62, 69, 76 and 83 counted as 60, 70, 80, 90, 100, 110 and
	// 120. It is 0 for all other specifications.
	StrengthKSI int
	// Position is the position digit as printed, "" where the mark has none.
	Position string
	// Covering is the covering of an electrode in its specification's own terms: two digits
	// ("18") for A5.1, A5.5 and ISO 2560-B, letters ("B", "RR") for ISO 2560-A, else "".
	Covering string
	Family   Family
	// Hydrogen is the printed hydrogen mark in mL per 100 g of deposited metal, 0 for none.
	// It says nothing about how long the covering may be exposed: that is R.
	Hydrogen int
	// R tells that the moisture-resistance mark is printed.
	R bool
	// M tells a military-type mark (E7018M, E11018M), One the mark -1 (E7018-1).
	M, One bool
	// Alloy is the alloy or deposit code in upper case ("C3", "1NI", "316L", "CS1").
	Alloy string
	// Fields holds every named group of the grammar that was not empty, in upper case.
	Fields map[string]string
	// Warnings are remarks that a person should read before relying on the mark, such as
	// a form without its gas letter or a suffix that is not in the tables.
	Warnings []string
}

// LowHydrogen tells whether the mark is a covered electrode with a low-hydrogen covering.
// Stainless electrodes and wires are not, whatever their hydrogen mark.
func (m Mark) LowHydrogen() bool { return m.Family == LowHydrogen }

// String returns the canonical form.
func (m Mark) String() string { return m.Canonical }
