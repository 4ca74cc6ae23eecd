package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"ovenward/cmd/internal/timeline"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// The exit statuses.
const (
	exitDone    = 0
	exitFailed  = 1
	exitUsage   = 2
	exitRefused = 3
	exitWarned  = 4
	exitBusy    = 5
)

const exitHelp = `EXIT STATUS
   0  done
   1  failed
   2  misused: the command line or a file is wrong
   3  refused by a rule; the code and the next step are printed
   4  done, with warnings
   5  the database is busy or cannot be reached; try again`

// usageError is a wrong use of the command line.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

func usagef(format string, args ...any) error { return &usageError{fmt.Sprintf(format, args...)} }

// exit says an error and returns the status of the program.
func (e *env) exit(err error) int {
	if err == nil {
		if e.warned {
			return exitWarned
		}
		return exitDone
	}
	if ref, ok := errors.AsType[*inventory.Refusal](err); ok {
		e.sayRefusal(ref)
		return exitRefused
	}
	fmt.Fprintf(e.errs, "ovenward: %v\n", err)
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) && hinted.Hint() != "" {
		fmt.Fprintf(e.errs, "next: %s\n", hinted.Hint())
	}
	_, usage := errors.AsType[*usageError](err)
	switch {
	case usage:
		fmt.Fprintln(e.errs, "next: see ovenward --help, or ovenward COMMAND --help")
		return exitUsage
	case errors.Is(err, db.ErrBusy), errors.Is(err, db.ErrUnreachable):
		return exitBusy
	case isInput(err):
		return exitUsage
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(e.errs, "next: it was stopped before it was done; nothing was half-written")
	}
	return exitFailed
}

// sayRefusal prints a refusal: to a person in words, to a program as JSON on
// standard output as well.
func (e *env) sayRefusal(r *inventory.Refusal) {
	fmt.Fprintf(e.errs, "REFUSED  %s\n", r.Why)
	if r.Subject != "" {
		fmt.Fprintf(e.errs, "  what   %s\n", r.Subject)
	}
	if r.Value != "" && r.Limit != "" {
		fmt.Fprintf(e.errs, "  value  %s   limit  %s\n", r.Value, r.Limit)
	}
	if r.Rule != "" {
		fmt.Fprintf(e.errs, "  rule   %s", r.Rule)
		if r.Source != "" {
			fmt.Fprintf(e.errs, "  (%s)", r.Source)
		}
		fmt.Fprintln(e.errs)
	}
	fmt.Fprintf(e.errs, "  code   %s\n", r.Code)
	fmt.Fprintf(e.errs, "  next   %s\n", r.Next)
	if e.json || e.format == "json" {
		enc := json.NewEncoder(e.out)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(map[string]any{"refused": r}); err != nil {
			fmt.Fprintf(e.errs, "ovenward: %v\n", err)
		}
	}
}

// isInput reports whether an error is one of a file or a field that was given:
// the program was used wrongly, it did not fail.
func isInput(err error) bool {
	if _, ok := errors.AsType[*timeline.LineError](err); ok {
		return true
	}
	if _, ok := errors.AsType[*rules.FileError](err); ok {
		return true
	}
	_, ok := errors.AsType[*measure.UnitError](err)
	return ok
}
