package inventory

import (
	"cmp"

	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
)

// Satisfies reports whether stock of one mark may go out where another is
// asked for: the same specification, strength, covering and alloy, and every
// further mark that is asked for. More marks than asked for do no harm.
func Satisfies(asked, have designation.Mark) bool {
	return asked.Spec == have.Spec && asked.Strength == have.Strength && asked.Covering == have.Covering &&
		asked.Position == have.Position && asked.Alloy == have.Alloy && asked.M == have.M &&
		(!asked.One || have.One) && (!asked.R || have.R) &&
		(asked.Hydrogen == 0 || (have.Hydrogen != 0 && have.Hydrogen <= asked.Hydrogen)) &&
		sameFields(asked, have)
}

// sameFields compares what the grammar of wire and flux adds: usability, gas,
// wire.
func sameFields(asked, have designation.Mark) bool {
	for name, v := range asked.Fields {
		switch name {
		case "h", "r", "one":
			continue
		}
		if have.Fields[name] != v {
			return false
		}
	}
	return true
}

// Candidate is a bundle that could go out.
type Candidate struct {
	Bundle  Bundle
	Expires measure.Date // empty: no date
}

// Compare orders bundles as they should be used up: returned or baked rods
// first, because they do not get better; then what expires first; then what
// was received first.
func (c Candidate) Compare(o Candidate) int {
	return cmp.Or(
		order(c.Bundle.Returned, o.Bundle.Returned),
		cmp.Compare(c.lastDay(), o.lastDay()),
		cmp.Compare(c.Bundle.Received, o.Bundle.Received),
		order(!c.Bundle.Sealed, !o.Bundle.Sealed),
		cmp.Compare(c.Bundle.Code, o.Bundle.Code),
	)
}

func (c Candidate) lastDay() measure.Date {
	const never = "9999-12-31"
	return cmp.Or(c.Expires, never)
}

func order(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// WhyBefore says in one clause why a candidate comes before another.
func (c Candidate) WhyBefore(o Candidate) string {
	switch {
	case c.Bundle.Returned && !o.Bundle.Returned:
		return "returned or baked rods go out first"
	case c.lastDay() != o.lastDay():
		return "it expires first, on " + string(c.Expires)
	case c.Bundle.Received != o.Bundle.Received:
		return "it was received first"
	case !c.Bundle.Sealed && o.Bundle.Sealed:
		return "an open package is used up before another is opened"
	}
	return "alike with the next one, taken in the order of their codes"
}
