package main

import (
	"fmt"

	"ovenward/cmd/internal/app"
)

// carriedSince is the oldest week that lines of the plan were carried from; empty
// where none were.
func carriedSince(o app.Outlook) string {
	if o.Carried == 0 {
		return ""
	}
	return o.Oldest.String()
}

// carriedNote says which work of past weeks counts with that of the current one.
func carriedNote(o app.Outlook) []string {
	if o.Carried == 0 {
		return nil
	}
	return []string{fmt.Sprintf("carried from past weeks, the oldest %s, because not marked completed: lines of the plan: %d; "+
		"mark in the plan what is welded", o.Oldest, o.Carried)}
}
