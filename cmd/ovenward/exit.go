package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/config"
	"ovenward/cmd/internal/timeline"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
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
   2  misused: the command line, a file or the database's name is wrong
   3  refused by a rule; the code and the next step are printed
   4  done, with warnings
   5  the database is busy or cannot be reached; try again`

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
	next := hint(err)
	fmt.Fprintf(e.errs, "ovenward: %s\n", strings.TrimSuffix(err.Error(), "; "+next))
	if next != "" {
		fmt.Fprintf(e.errs, "next: %s\n", next)
	}
	return status(err)
}

// status tells the ways to fail apart for a program.
func status(err error) int {
	switch {
	case isBusy(err):
		return exitBusy
	case isMisuse(err):
		return exitUsage
	}
	return exitFailed
}

// hint is the next step that an error knows, empty for none.
func hint(err error) string {
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		return hinted.Hint()
	}
	switch {
	case errors.Is(err, context.Canceled):
		return "it was stopped before it was done; nothing was half-written"
	case !isOpening(err):
		return ""
	case errors.Is(err, fs.ErrNotExist):
		return "check the name of the file and the folder you are in"
	case errors.Is(err, fs.ErrExist):
		return "name another file: nothing is written over"
	case errors.Is(err, fs.ErrPermission):
		return "ask for the right to the file and its folder"
	}
	return ""
}

// isBusy reports whether trying again may help.
func isBusy(err error) bool { return isOneOf(err, db.ErrBusy, db.ErrUnreachable, db.ErrOutcomeUnknown) }

// isMisuse reports whether the command line, a file or the database that it
// names is wrong: the program did not fail.
func isMisuse(err error) bool {
	return is[*usageError](err) || is[*timeline.LineError](err) || is[*rules.FileError](err) || is[*measure.UnitError](err) ||
		is[*ledger.FileError](err) || is[*ledger.FieldError](err) || is[*app.PlanError](err) || is[*tablesError](err) || is[*app.LoadError](err) || is[*config.FileError](err) || isOpening(err) ||
		isOneOf(err, db.ErrDSN, db.ErrNoDatabase, db.ErrLogin, db.ErrReadOnly, db.ErrDamaged, db.ErrNewerSchema, db.ErrOtherSchema)
}

func is[E error](err error) bool {
	_, ok := errors.AsType[E](err)
	return ok
}

func isOneOf(err error, kinds ...error) bool {
	for _, k := range kinds {
		if errors.Is(err, k) {
			return true
		}
	}
	return false
}

// isOpening reports whether a file could not be opened, as opposed to a disk
// that fails later.
func isOpening(err error) bool {
	p, ok := errors.AsType[*fs.PathError](err)
	return ok && p.Op == "open"
}

// sayRefusal prints a refusal: to a person in words, to a program as JSON on
// standard output as well.
func (e *env) sayRefusal(r *inventory.Refusal) {
	fmt.Fprintf(e.errs, "REFUSED  %s\n", strings.TrimSuffix(r.Why, "; "+r.Next))
	if r.Subject != "" {
		fmt.Fprintf(e.errs, "  what   %s\n", r.Subject)
	}
	if r.Value != "" && r.Limit != "" {
		fmt.Fprintf(e.errs, "  value  %s   limit  %s\n", r.Value, r.Limit)
	}
	if r.Rule != "" {
		fmt.Fprintf(e.errs, "  rule   %s\n", r.Rule)
	}
	if r.Source != "" {
		fmt.Fprintf(e.errs, "  source %s\n", r.Source)
	}
	fmt.Fprintf(e.errs, "  code   %s\n", r.Code)
	fmt.Fprintf(e.errs, "  next   %s\n", r.Next)
	if e.asJSON() {
		enc := json.NewEncoder(e.out)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(map[string]any{"refused": r}); err != nil {
			fmt.Fprintf(e.errs, "ovenward: %v\n", err)
		}
	}
}
