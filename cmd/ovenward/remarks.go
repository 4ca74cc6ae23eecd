package main

import (
	"time"

	"ovenward/cmd/internal/show"
	"ovenward/inventory/stockdb"
)

// seenTable is what was seen of rods, by whom and when.
func seenTable(list []stockdb.Remark, zone *time.Location) show.Table {
	t := show.Table{Title: "what was seen", Head: []string{"when", "of", "what", "words", "seen by"}}
	for _, r := range list {
		of := r.Bundle
		if r.Slip != "" {
			of = "slip " + r.Slip
		}
		t.Add(when(r.At, zone), of, string(r.What), r.Words, r.SeenBy)
	}
	return t
}
