package main

import (
	"context"
	"io"
	"path/filepath"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
)

// logFile is a file that a command loads, with what it is loaded into.
type logFile struct {
	*show.Printer
	app  *app.App
	zone *time.Location
	name string // as it is spoken of
	in   io.Reader
}

// logFile opens a file to load, "-" for standard input. The second result closes
// it.
func (e *env) logFile(ctx context.Context, name string) (f logFile, done func(), err error) {
	if f.Printer, err = e.printer(); err != nil {
		return f, nil, err
	}
	if f.in, done, err = e.input(name); err != nil {
		return f, nil, cannotLoad(name, err)
	}
	if f.app, err = e.open(ctx); err == nil {
		f.zone, err = f.app.Zone(ctx)
	}
	if err != nil {
		done()
		return f, nil, err
	}
	if f.name = filepath.Base(name); f.name == "-" {
		f.name = "standard input"
	}
	return f, done, nil
}
