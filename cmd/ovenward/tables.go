package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/BurntSushi/toml"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
)

// mostTableBytes bounds a file of tables: the shipped ones are a hundredth of it.
const mostTableBytes = 4 << 20

// tables are those that come with the program with the shop's own files laid over
// them, in the order in which --tables or OVENWARD_TABLES names them.
func (e *env) tables() (app.Tables, error) {
	t, err := app.DefaultTables()
	for _, name := range e.tableFiles.Value() {
		if err != nil {
			break
		}
		var own app.Tables
		if own, err = readTables(name); err == nil {
			t = laid(t, own)
		}
	}
	return t, err
}

// laid lays one set of tables over another; what the upper one lacks stays.
func laid(under, above app.Tables) app.Tables {
	if above.Metal != nil {
		under.Metal = under.Metal.Over(above.Metal)
	}
	if above.Named != nil {
		under.Named = under.Named.Over(above.Named)
	}
	return under
}

// readTables reads one file of a shop's own rows: either named preparations, or
// the figures of consumables. The error names the file, and the line and field
// where it can.
func readTables(name string) (app.Tables, error) {
	text, err := readSmall(name, mostTableBytes)
	if err != nil {
		return app.Tables{}, err
	}
	var of struct {
		Preparation []any `toml:"preparation"`
	}
	var t app.Tables
	if _, err = toml.Decode(string(text), &of); err == nil && len(of.Preparation) > 0 {
		t.Named, err = joint.ReadCatalogue(bytes.NewReader(text))
	} else {
		t.Metal, err = metal.Read(bytes.NewReader(text))
	}
	if err != nil {
		return app.Tables{}, &tablesError{name: plainName(name), err: err}
	}
	return t, nil
}

// readSmall reads a whole file that must not be larger than a limit.
func readSmall(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, unreadable(name, err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	switch {
	case err != nil:
		return nil, unreadable(name, err)
	case int64(len(text)) > most:
		return nil, unreadable(name, fmt.Errorf("larger than %d MB; name a file of tables", most>>20))
	}
	return text, nil
}

func unreadable(name string, err error) error {
	if bad, ok := errors.AsType[*os.PathError](err); ok {
		err = bad.Err
	}
	return &tablesError{name: plainName(name), err: err}
}

// tablesError is a file of tables that cannot be used.
type tablesError struct {
	name string
	err  error
}

// Error names the file and what is wrong with it.
func (e *tablesError) Error() string { return e.name + ": " + e.err.Error() }

// Unwrap returns the cause.
func (e *tablesError) Unwrap() error { return e.err }

// Hint returns the next step for the user.
func (e *tablesError) Hint() string {
	return "mend it and look at it with: ovenward plan tables " + e.name
}
