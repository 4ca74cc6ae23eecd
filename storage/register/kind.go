package register

import (
	"fmt"
	"slices"
	"strings"
)

// Kind is a kind of register.
type Kind string

// The kinds of register.
const (
	Stock     Kind = "stock" // what is on the shelves at the first stock-take
	Receiving Kind = "receiving"
	Issue     Kind = "issue"
	Return    Kind = "return"
	Bake      Kind = "bake"
	Oven      Kind = "oven" // readings, which package feed reads
	Log       Kind = "log"  // rows of several kinds, each named in its column "what"
)

// Kinds returns the kinds of register in the order in which a shop meets them.
func Kinds() []Kind { return []Kind{Stock, Receiving, Issue, Return, Bake, Oven, Log} }

// ParseKind returns the kind of a name. The error lists the kinds.
func ParseKind(s string) (Kind, error) {
	if k := Kind(strings.ToLower(strings.TrimSpace(s))); slices.Contains(Kinds(), k) {
		return k, nil
	}
	names := make([]string, len(Kinds()))
	for i, k := range Kinds() {
		names[i] = string(k)
	}
	return "", fmt.Errorf("no register %q; there are %s", s, strings.Join(names, ", "))
}

// Field is what a column can be read as.
type Field struct {
	Name  string
	Says  string // what stands in it
	Shown string // an example
	Must  bool   // a register without it cannot be read
}

// Fields returns the fields of a kind in the order of the template's columns.
func (k Kind) Fields() []Field {
	switch k {
	case Stock:
		return slices.Concat(when("of the stock-take", "2026-03-02", "06:00"), label("K-17"), stockFields())
	case Receiving:
		return slices.Concat(when("it came in", "2026-02-02", "09:30"), label("K-21"), []Field{
			{"accepted_by", "QA's name, where QA accepted the lot on paper: the lot is released by it", "Q1", false},
			{"by", "who received it", "A1", false}})
	case Issue:
		return slices.Concat(when("the rods went out", "2026-02-03", "07:05"), issueFields(), backFields("back_"))
	case Return:
		return slices.Concat(when("the rods came back", "2026-02-03", "11:10"), []Field{
			{"slip", "number of the slip they went out on", "S-501", false},
			{"welder", "who brought them, where the slip is not known", "W3", false}}, countFields(),
			[]Field{{"by", "who took them back", "A1", false}})
	case Bake:
		return slices.Concat(when("the rods went into the bake oven", "2026-02-03", "13:00"), bakeFields())
	case Oven:
		return slices.Concat(when("of the reading", "2026-02-03", "07:00"), []Field{
			{"place", "the oven, or its sensor", "H1", true},
			{"temp", "what it showed, with C or F, or with the unit in the header: temp (F)", "255 F", true}})
	case Log:
		return logFields()
	}
	return nil
}

// logFields are those of all kinds whose rows a mixed log may hold, once.
func logFields() []Field {
	all := []Field{{"what", "what the row is: stock, receiving, issue, return or bake", "issue", true}}
	for _, k := range []Kind{Stock, Receiving, Issue, Return, Bake} {
		for _, f := range k.Fields() {
			if !slices.ContainsFunc(all, func(have Field) bool { return have.Name == f.Name }) {
				f.Must = f.Name == "time"
				all = append(all, f)
			}
		}
	}
	return all
}

func when(of, date, clock string) []Field {
	return []Field{
		{"date", "day " + of + ", where it stands apart from the time", date, false},
		{"time", "time " + of + ", on the site's clock", clock, true},
	}
}

// label are the fields of a package as it came or is found.
func label(bundle string) []Field {
	return []Field{
		{"lot", "lot, batch or heat number on the label", "7B21", false},
		{"class", "classification on the label", "E7018", true},
		{"spec", "specification, where the class alone is ambiguous", "A5.1", false},
		{"diameter", "with its unit", "1/8 in", false},
		{"length", "with its unit", "14 in", false},
		{"maker", "maker or product", "Northfield 18", false},
		{"package", "hermetic can, vacuum pack, carton, plastic box, sealed spool, bag, drum or loose", "hermetic can", true},
		{"seal", "intact or broken", "intact", false},
		{"pieces", "rods in each package", "150", false},
		{"mass", "mass of wire or flux in each package", "", false},
		{"packages", "number of packages alike", "", false},
		{"net", "net mass on the label of each package of rods", "10 lb", false},
		{"certificate", "number of the certificate", "C-1042", false},
		{"certificate_kind", "typical, 2.1, 2.2, 3.1 or 3.2", "3.1", false},
		{"made", "date of manufacture", "2025-11-03", false},
		{"expires", "date on the label", "", false},
		{"place", "where it is put", "store", false},
		{"bundle", "mark of the package, where it has one", bundle, false},
		{"price", "of one rod, or of one kilogram of wire or flux, with the currency", "0.79 CAD", false},
	}
}

func stockFields() []Field {
	return []Field{
		{"do", "hold (where left out), practice or scrap", "hold", false},
		{"found", "state it is found in: label, damage, damp", "label clean", false},
		{"by", "who counted it", "A1", false},
	}
}

func issueFields() []Field {
	return []Field{
		{"slip", "number of the slip", "S-501", false},
		{"bundle", "mark of the package or bundle", "", false},
		{"lot", "lot, where the bundle has no mark", "7B21", false},
		{"class", "classification", "E7018", false},
		{"diameter", "with its unit", "1/8 in", false},
		{"pieces", "rods that went out", "40", false},
		{"mass", "mass of wire or flux", "", false},
		{"welder", "badge, stamp or symbol", "W3", true},
		{"holder", "the portable oven; open air where left out", "", false},
		{"job", "project or order", "", false},
		{"joints", "joints, parted by commas", "J-101", false},
		{"by", "who gave them out", "A1", false},
	}
}

func bakeFields() []Field {
	return []Field{
		{"bundle", "mark of the bundle", "K-21", false},
		{"lot", "lot, where the bundle has no mark and the lot has one bundle", "", false},
		{"place", "the bake oven", "BK", true},
		{"set", "chosen temperature, with its unit", "700 F", true},
		{"layers", "layers on a rack", "4", false},
		{"load", "mass in the oven", "", false},
		{"end_date", "day they were taken out, where it is another", "", false},
		{"end", "time they were taken out", "16:30", false},
		{"into", "where they were put then", "H1", false},
		{"by", "who did it", "A1", false},
	}
}

// countFields are what came back; a register of issues has them, too.
func countFields() []Field {
	return []Field{
		{"unused", "unused rods", "12", false},
		{"unused_mass", "unused mass of wire or flux, or of rods where they were weighed", "", false},
		{"stubs", "stubs", "28", false},
		{"damaged", "rods with a damaged covering", "", false},
		{"unidentified", "rods without a readable mark", "", false},
		{"wet", "yes where they got wet", "", false},
		{"into", "where the unused rods were put", "H1", false},
		{"as", "mark of the bundle that they are now", "", false},
	}
}

func backFields(prefix string) []Field {
	out := []Field{
		{prefix + "date", "day they came back, where it is another", "", false},
		{prefix + "time", "time they came back; empty while they are out", "11:10", false},
	}
	return append(append(out, countFields()...), Field{prefix + "by", "who took them back", "A1", false})
}
