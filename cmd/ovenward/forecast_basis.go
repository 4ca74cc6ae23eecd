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
