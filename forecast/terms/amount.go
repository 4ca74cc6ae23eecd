package terms

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"ovenward/inventory/measure"
)

// Unit is what an amount is counted or weighed in.
type Unit string

// The units.
const (
	Pieces    Unit = "rods"
	Packs     Unit = "packs"
	Kilograms Unit = "kg"
	Pounds    Unit = "lb"
)

// Amount is so many rods, packages, kilograms or pounds.
type Amount struct {
	Value float64
	Unit  Unit
}

// String prints it as a buyer writes it.
func (a Amount) String() string {
	unit := string(a.Unit)
	if a.Value == 1 {
		unit = strings.TrimSuffix(unit, "s")
	}
	return strconv.FormatFloat(a.Value, 'f', -1, 64) + " " + unit
}

var (
	amountForm = regexp.MustCompile(`^(\d{1,9}(?:\.\d{1,4})?) *([a-z]+)$`)
	unitWords  = map[string]Unit{"rods": Pieces, "rod": Pieces, "pieces": Pieces, "piece": Pieces, "pcs": Pieces, "pc": Pieces,
		"spools": Packs, "spool": Packs, "drums": Packs, "drum": Packs, "coils": Packs, "coil": Packs, "bags": Packs, "bag": Packs,
		"packs": Packs, "pack": Packs, "cans": Packs, "can": Packs, "boxes": Packs, "box": Packs,
		"kg": Kilograms, "lb": Pounds, "lbs": Pounds}
)

// ParseAmount reads "150 rods", "4 packs", "4.5 kg" or "10 lb".
func ParseAmount(s string) (Amount, error) {
	m := amountForm.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil || unitWords[m[2]] == "" {
		return Amount{}, fmt.Errorf("%q is no amount; write 150 rods, 4 packs, 4.5 kg or 10 lb", s)
	}
	v, err := strconv.ParseFloat(m[1], 64)
	a := Amount{Value: v, Unit: unitWords[m[2]]}
	switch {
	case err != nil || v == 0:
		return Amount{}, fmt.Errorf("%q: an amount is above zero", s)
	case (a.Unit == Pieces || a.Unit == Packs) && v != math.Trunc(v):
		return Amount{}, fmt.Errorf("%q: write whole %s", s, a.Unit)
	}
	return a, nil
}

var (
	errNoPack  = errors.New("no pack is set")
	errNoPiece = errors.New("what one rod weighs is not known")
)

// float is the amount in pieces, parts of one included.
func (a Amount) float(pack int64, piece measure.Mass) (float64, error) {
	switch {
	case a.Unit == Pieces:
		return a.Value, nil
	case a.Unit == Packs && pack == 0:
		return 0, errNoPack
	case a.Unit == Packs:
		return a.Value * float64(pack), nil
	case piece <= 0:
		return 0, errNoPiece
	case a.Unit == Pounds:
		return a.Value * float64(measure.Pound) / float64(piece), nil
	}
	return a.Value * float64(measure.Kilogram) / float64(piece), nil
}

// Pieces returns the amount in whole pieces, of a mass the nearest number, as a
// package of 5 kg is filled; at least one.
func (a Amount) Pieces(pack int64, piece measure.Mass) (int64, error) {
	n, err := a.float(pack, piece)
	if err != nil {
		return 0, err
	}
	return max(1, int64(math.Round(n))), nil
}
