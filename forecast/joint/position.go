package joint

import (
	"slices"
	"strings"

	"ovenward/inventory/designation"
)

// Position is the welding position of a joint, as "3G" by the American marks or
// "PF" by ISO 6947. Empty is not given.
type Position string

// place is what a position asks for: each attitude in turn, or one of those that
// stand beside each other.
type place struct {
	words string // of the position table of the metal package; empty where the weld turns through several
	needs [][]designation.Attitude
}

// lies are the positions. The American marks are G for grooves and F for fillets;
// those of ISO 6947 say the direction of vertical welding, which 3G, 5G and 6G
// leave open. From memory: compare them with your own edition.
func lies(p Position) (place, bool) {
	const (
		flat, fillet, across, up = designation.Flat, designation.HorizontalFillet, designation.Horizontal, designation.VerticalUp
		down, over               = designation.VerticalDown, designation.Overhead
	)
	one := func(words string, either ...designation.Attitude) (place, bool) {
		return place{words, [][]designation.Attitude{either}}, true
	}
	round := func(vertical ...designation.Attitude) (place, bool) {
		return place{"", [][]designation.Attitude{{flat}, vertical, {over}}}, true
	}
	slanted := func(vertical ...designation.Attitude) (place, bool) {
		return place{"", [][]designation.Attitude{{flat}, {across}, vertical, {over}}}, true
	}
	switch p {
	case "1G", "1F", "PA":
		return one("flat", flat)
	case "2F", "PB":
		return one("horizontal", fillet)
	case "2G", "PC":
		return one("horizontal", across)
	case "3G", "3F":
		return one("vertical", up, down)
	case "PF":
		return one("vertical", up)
	case "PG":
		return one("vertical", down)
	case "4G", "4F", "PD", "PE":
		return one("overhead", over)
	case "5G", "5F", "PK":
		return round(up, down)
	case "PH":
		return round(up)
	case "PJ":
		return round(down)
	case "6G", "6GR":
		return slanted(up, down)
	case "H-L045":
		return slanted(up)
	case "J-L045":
		return slanted(down)
	}
	return place{}, false
}

// Positions returns the marks of all positions, in the order to show them.
func Positions() []Position {
	return []Position{"1G", "2G", "3G", "4G", "5G", "6G", "6GR", "1F", "2F", "3F", "4F", "5F",
		"PA", "PB", "PC", "PD", "PE", "PF", "PG", "PH", "PJ", "PK", "H-L045", "J-L045"}
}

// ParsePosition reads a position in any case of letters, and the words flat,
// horizontal, vertical and overhead for grooves; false where there is none such.
func ParsePosition(s string) (Position, bool) {
	p := Position(strings.ToUpper(strings.Join(strings.Fields(s), "")))
	switch p {
	case "FLAT":
		p = "1G"
	case "HORIZONTAL":
		p = "2G"
	case "VERTICAL":
		p = "3G"
	case "VERTICALUP", "UPHILL":
		p = "PF"
	case "VERTICALDOWN", "DOWNHILL":
		p = "PG"
	case "OVERHEAD":
		p = "4G"
	}
	return p, slices.Contains(Positions(), p)
}

// Words returns flat, horizontal, vertical or overhead; empty where the weld turns
// through several, as around a fixed pipe.
func (p Position) Words() string {
	l, _ := lies(p)
	return l.words
}

// Lacks returns the attitudes that a position asks for and a mark is not
// classified for, each with what would do instead of it, and what in the mark says
// so; nothing where it is for the position, or says nothing of positions.
func (p Position) Lacks(m designation.Mark) (lacks []string, by string) {
	l, given := lies(p)
	all, by := m.Positions()
	if !given || len(all) == 0 {
		return nil, ""
	}
	for _, either := range l.needs {
		if slices.ContainsFunc(either, func(a designation.Attitude) bool { return slices.Contains(all, a) }) {
			continue
		}
		words := make([]string, len(either))
		for i, a := range either {
			words[i] = string(a)
		}
		lacks = append(lacks, strings.Join(words, " or "))
	}
	return lacks, by
}
