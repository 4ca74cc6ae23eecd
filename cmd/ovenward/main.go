// Ovenward keeps a welding shop's consumables under control: every rod that
// goes into a joint can be shown to have been dry, identified and allowed.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"
	_ "time/tzdata" // zones on machines that have none
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args, os.Stdin, os.Stdout, os.Stderr, os.Getenv)
	stop()
	os.Exit(code)
}

// run is the whole program but for the process around it.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer, getenv func(string) string) int {
	e := &env{in: in, out: out, errs: errs, getenv: getenv, now: time.Now}
	return e.run(ctx, args)
}

// run runs the command line and closes the database behind it.
func (e *env) run(ctx context.Context, args []string) int {
	defer e.close()
	if completesAfterDashes(args) {
		return exitDone
	}
	program := newProgram(e)
	args, err := tidy(args)
	if err == nil {
		args, err = reorder(program, args)
	}
	if err == nil {
		err = program.RunContext(ctx, args)
	}
	return e.exit(err)
}
