package inventory

import (
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
)

// LotStatus says whether a lot's stock may go out.
type LotStatus string

// The states of a lot.
const (
	Awaiting LotStatus = "awaiting release" // received, QA has not looked yet
	Released LotStatus = "released"
	Held     LotStatus = "held by QA"

	// PracticeStock is under no exposure control. It goes into no code job, and
	// never becomes anything else.
	PracticeStock LotStatus = "practice"
)

// Practice is the use of stock that may go into no code job.
const Practice = "practice"

// ExistingStock is why a lot is held that was found at the first stock-take.
const ExistingStock = "existing stock, not released"

// Package is how stock came.
type Package string

// The kinds of package met at receiving.
const (
	HermeticCan Package = "hermetic can"
	VacuumPack  Package = "vacuum pack"
	Carton      Package = "carton"
	PlasticBox  Package = "plastic box"
	SpoolPack   Package = "sealed spool"
	FluxBag     Package = "bag"
	FluxDrum    Package = "drum"
	Loose       Package = "loose" // in no package
)

var packages = []Package{HermeticCan, VacuumPack, Carton, PlasticBox, SpoolPack, FluxBag, FluxDrum, Loose}

// ParsePackage returns the package as written. The error is a *Refusal that
// lists the kinds.
func ParsePackage(s string) (Package, error) {
	names := ""
	for i, p := range packages {
		if string(p) == s {
			return p, nil
		}
		if i > 0 {
			names += ", "
		}
		names += string(p)
	}
	return "", &Refusal{Code: Unknown, Subject: "package", Value: s, Why: "unknown package " + quote(s),
		Next: "use one of: " + names}
}

// Tight reports whether the package keeps moisture out while its seal holds.
func (p Package) Tight() bool { return p == HermeticCan || p == VacuumPack || p == SpoolPack }

// Seal is the state of a package's seal at receiving.
type Seal string

// The states of a seal.
const (
	Intact Seal = "intact"
	Broken Seal = "broken"
)

// Lot is what a maker says is one production.
type Lot struct {
	Code     string
	Mark     designation.Mark
	Diameter measure.Length
	Length   measure.Length // zero for wire and flux
	Size     string         // diameter as it was entered
	Maker    string
	Product  string       // what the maker calls it; empty where not stated
	Made     measure.Date // empty where not stated
	Expires  measure.Date // empty where not stated
	Status   LotStatus
	Reason   string       // why it is held
	Extended measure.Date // until when QA extended it; empty where it did not
	Piece    measure.Mass // mass of one piece by the label; zero where unknown

	Certificate     string
	CertificateKind string
	Extension       string // the test that QA extended it by

	Owner    string // whose it is; empty: the shop's own
	LotClass string // how the maker parts production into lots
	Schedule string // the level of testing that was ordered
}

// CrushedSlag reports whether the lot is flux made of crushed slag, which has a
// mark of its own and is kept apart from flux as it was made.
func (l Lot) CrushedSlag() bool {
	return l.Mark.Family == designation.SAWFlux && l.Mark.Fields["s"] != ""
}

// Existing reports whether the lot was found at the first stock-take and waits
// for QA.
func (l Lot) Existing() bool { return l.Status == Held && l.Reason == ExistingStock }

// Counted reports whether the lot's stock is counted in pieces. Wire on spools
// and flux are weighed.
func (l Lot) Counted() bool {
	switch l.Mark.Family {
	case designation.CoredWire, designation.SAWFlux:
		return false
	case designation.SolidWire:
		return l.Length > 0 // cut lengths are counted, spools are weighed
	default:
		return true
	}
}
