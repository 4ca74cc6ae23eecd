package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/timeline"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// failed returns the status of an error and what was said of it.
func failed(t *testing.T, e *env, err error) (status int, out, errs string) {
	t.Helper()
	var o, s bytes.Buffer
	e.out, e.errs = &o, &s
	return e.exit(err), o.String(), s.String()
}

func TestStatusTellsFailuresApart(t *testing.T) {
	t.Parallel()
	opening := func(err error) error { return &fs.PathError{Op: "open", Path: "plan.csv", Err: err} }
	for _, c := range []struct {
		err  error
		want int
	}{
		{nil, exitDone},
		{errors.New("out of luck"), exitFailed},
		{context.Canceled, exitFailed},
		{&fs.PathError{Op: "write", Path: "plan.csv", Err: syscall.ENOSPC}, exitFailed},
		{&db.Error{Kind: db.ErrFull}, exitFailed},
		{errNotHeld, exitFailed},
		{errDiffers, exitFailed},
		{usagef("issue takes one bundle"), exitUsage},
		{opening(fs.ErrNotExist), exitUsage},
		{opening(fs.ErrPermission), exitUsage},
		{&timeline.LineError{Line: 3, Why: "no verb"}, exitUsage},
		{&rules.FileError{File: "shop.toml", Why: "no rows"}, exitUsage},
		{&measure.UnitError{Value: "250"}, exitUsage},
		{&ledger.FileError{Line: 1, Err: errors.New("the file is empty")}, exitUsage},
		{&ledger.FieldError{Field: "by"}, exitUsage},
		{&db.Error{Kind: db.ErrDSN}, exitUsage},
		{&db.Error{Kind: db.ErrNoDatabase}, exitUsage},
		{&db.Error{Kind: db.ErrReadOnly}, exitUsage},
		{&db.Error{Kind: db.ErrNewerSchema}, exitUsage},
		{&inventory.Refusal{Code: inventory.Wet, Why: "wet", Next: "scrap it"}, exitRefused},
		{&db.Error{Kind: db.ErrBusy}, exitBusy},
		{&db.Error{Kind: db.ErrUnreachable}, exitBusy},
		{&db.Error{Kind: db.ErrOutcomeUnknown}, exitBusy},
	} {
		if got, _, _ := failed(t, &env{}, c.err); got != c.want {
			t.Errorf("exit(%v) = %d, want %d", c.err, got, c.want)
		}
		if c.err == nil {
			continue
		}
		if got, _, _ := failed(t, &env{}, fmt.Errorf("import: %w", c.err)); got != c.want {
			t.Errorf("exit(import: %v) = %d, want %d", c.err, got, c.want)
		}
	}
}

func TestWarningsHaveTheirOwnStatus(t *testing.T) {
	t.Parallel()
	var errs bytes.Buffer
	e := &env{errs: &errs}
	e.warn("%d rods without a stub", 2)
	if got := e.exit(nil); got != exitWarned {
		t.Errorf("exit(nil) = %d, want %d", got, exitWarned)
	}
	if got, want := errs.String(), "warning: 2 rods without a stub\n"; got != want {
		t.Errorf("warn() wrote %q, want %q", got, want)
	}
}

func TestNextStepIsSaidOnce(t *testing.T) {
	t.Parallel()
	_, out, errs := failed(t, &env{}, &db.Error{Kind: db.ErrBusy, Database: "sqlite:shop.db", Next: "wait and try again"})
	want := "ovenward: sqlite:shop.db: database is busy\nnext: wait and try again\n"
	if out != "" || errs != want {
		t.Errorf("exit() wrote %q and %q, want nothing and %q", out, errs, want)
	}
	_, _, errs = failed(t, &env{}, &inventory.Refusal{Code: inventory.Unit, Why: "not a time; write 07:00", Next: "write 07:00"})
	if n := strings.Count(errs, "write 07:00"); n != 1 {
		t.Errorf("the next step is said %d times:\n%s", n, errs)
	}
}

func TestRefusalIsSaidInWordsAndAsData(t *testing.T) {
	t.Parallel()
	ref := &inventory.Refusal{Code: inventory.OverLimit, Subject: "B0001-G", Why: "exposed 4 h 1 min, limit 4 h", Value: "4:01", Limit: "4:00",
		Rule: "set/e70", Source: "table 1", Next: "bake it"}
	status, out, errs := failed(t, &env{json: true}, ref)
	want := `REFUSED  exposed 4 h 1 min, limit 4 h
  what   B0001-G
  value  4:01   limit  4:00
  rule   set/e70
  source table 1
  code   over-limit
  next   bake it
`
	if diff := cmp.Diff(want, errs); diff != "" || status != exitRefused {
		t.Errorf("status %d (-want +got):\n%s", status, diff)
	}
	var got struct{ Refused inventory.Refusal }
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(*ref, got.Refused); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if _, out, _ := failed(t, &env{}, ref); out != "" {
		t.Errorf("a person's refusal wrote %q to standard output", out)
	}
}

// The messages are those of github.com/urfave/cli v2.27.7 and of package flag.
func TestLibraryErrorsAreSaidInWords(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{
		"flag provided but not defined: -peices":                                           "there is no flag --peices",
		"flag provided but not defined: -x":                                                "there is no flag -x",
		"flag needs an argument: -pieces":                                                  "--pieces needs a value",
		`invalid value "x" for flag -packages: parse error`:                                `--packages "x": it does not take that value`,
		`invalid boolean value "maybe" for -dry-run: parse error`:                          `--dry-run "maybe": it does not take that value`,
		`invalid value "1 2" for flag -n: strconv.ParseInt: parsing "1 2": invalid syntax`: `-n "1 2": it does not take that value`,
		"bad flag syntax: --=":                                                             "bad flag syntax: --=",
	} {
		if got := inWords(errors.New(in)); got != want {
			t.Errorf("inWords(%q) = %q, want %q", in, got, want)
		}
	}
}
