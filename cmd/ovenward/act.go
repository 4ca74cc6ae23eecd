package main

import (
	"fmt"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
)

// act is what a command did, for a program.
type act struct {
	Done     string `json:"done"` // "released", "added" ...
	What     string `json:"what"` // the lot, place, sensor, rule set or bundle
	Fact     string `json:"fact,omitempty"`
	Repeated bool   `json:"repeated,omitempty"` // recorded before; nothing was written
	DryRun   bool   `json:"dry_run,omitempty"`
}

// acted is the act that a fact records.
func (e *env) acted(done app.Done, verb, what string) act {
	a := act{Done: verb, What: what, Fact: done.Fact.ID, Repeated: done.Repeat, DryRun: e.dry}
	if e.dry {
		a.Fact = "" // there is none
	}
	return a
}

func (a act) table() show.Table {
	t := show.Table{Head: []string{"done", "what", "fact"}}
	t.Add(a.Done, a.What, a.Fact)
	return t
}

// some is a list for a program: empty where there is nothing, never null.
func some[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// tell answers with what was done: in a sentence to a person, as data to a
// program. What a sentence says on further lines is left out of a dry run.
func (e *env) tell(a act, sentence string, args ...any) error {
	p, err := e.printer()
	if err != nil {
		return err
	}
	text := fmt.Sprintf(sentence, args...)
	switch {
	case p.Format != show.AsTable:
		return p.Answer(a, a.table())
	case a.DryRun:
		first, _, _ := strings.Cut(text, "\n")
		return p.Line("%s (dry run)", first)
	}
	return p.Line("%s", text)
}
