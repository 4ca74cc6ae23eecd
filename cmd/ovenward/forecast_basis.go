package main

import (
	"fmt"
	"time"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// text says what the figures of one item rest on, each with a letter for how
// well it is established.
func (b basisAnswer) text(zone *time.Location) string {
	r := b.rod
	if r.ByMass {
		return b.weighedText()
	}
	s := fmt.Sprintf("%s: efficiency %s%s, stub %s of %s%s, density %s%s", r.Item, r.Efficiency, b.mark("efficiency"),
		joint.SizeText(r.Stub), joint.SizeText(r.Length), b.mark("rod"), r.Density, b.mark("density"))
	switch {
	case b.ByReceipt != "":
		s += fmt.Sprintf("; a rod weighs %s R (lot %s, %s)", grams(b.Piece), b.ByReceipt, measure.DateOf(b.received, zone))
	case b.Piece > 0:
		s += fmt.Sprintf("; a rod weighs %s by core wire and %.0f %% covering%s", grams(b.Piece), r.Coating*100,
			b.mark("coating"))
	default:
		s += "; what a rod weighs is not known, so neither is the mass to buy"
	}
	s += "; one deposits " + grams(b.Deposits)
	for _, row := range b.Rows {
		if row.Table == "bead" {
			s += fmt.Sprintf("; a bead is %s%s", row.Value, b.mark("bead"))
		}
	}
	return s
}

// weighedText is text of wire and flux.
func (b basisAnswer) weighedText() string {
	r := b.rod
	if r.Efficiency.Basis == "" {
		for _, row := range b.Rows {
			return fmt.Sprintf("%s: flux, %s%s, where the plan states no ratio", r.Item, row.Value, b.mark("flux"))
		}
	}
	return fmt.Sprintf("%s: bought by mass, efficiency %s%s, density %s%s", r.Item, r.Efficiency, b.mark("efficiency"),
		r.Density, b.mark("density"))
}

func grams(g float64) string { return fmt.Sprintf("%.1f g", g) }

// mark is the letter for the status of a table's row; none for one that is
// confirmed.
func (b basisAnswer) mark(table string) string {
	for _, r := range b.Rows {
		if r.Table != table {
			continue
		}
		switch r.Status {
		case joint.Memory:
			return " M"
		case joint.SingleSource:
			return " S"
		case joint.Shop:
			return " *"
		case joint.Confirmed:
		}
	}
	return ""
}
