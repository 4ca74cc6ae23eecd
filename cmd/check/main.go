// Command check brings up what the tests need, servers and a
// linter, and runs every check of the project:
//
//	go run ./cmd/check                everything, as the build machine does
//	go run ./cmd/check quick          format, vet and tests, without linter and race detector
//	go run ./cmd/check lint test      the named steps only
//	go run ./cmd/check bench import   measure against a public tool, which may be installed for it
//	go run ./cmd/check postgres       start PostgreSQL for tests run by hand, until interrupted
//	go run ./cmd/check peers          start PostgreSQL, an MQTT broker and a mail server for them
//
// It needs Go. PostgreSQL, mosquitto, exim and a C compiler are installed with
// apt-get if they are missing, it runs as root and the system has apt-get;
// otherwise it says what is missing and how to get it. Nothing is skipped. R with
// its forecast package is not installed: where it is missing a line says so. What it
// starts is reached from this machine alone and is gone at the end.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run does the steps named by args and returns the exit status: 0 if all
// passed, 1 if one failed, 2 for an unknown step.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	c := &check{out: stdout, env: os.Environ()}
	serve := map[string]func(context.Context) error{"postgres": c.servePostgres, "peers": c.servePeers}
	if len(args) == 1 && serve[args[0]] != nil {
		if err := serve[args[0]](ctx); err != nil {
			fmt.Fprintf(stderr, "check: %v\n", err)
			return 1
		}
		return 0
	}
	if len(args) > 0 && args[0] == "bench" {
		return c.bench(ctx, args[1:], stderr)
	}
	chosen, err := choose(args)
	if err != nil {
		fmt.Fprintf(stderr, "check: %v\n", err)
		return 2
	}
	return c.all(ctx, chosen)
}

// step is one thing to check. A step with tests counts them itself.
type step struct {
	name    string
	about   string
	servers bool // needs PostgreSQL and its like
	tests   bool
	run     func(*check, context.Context) error
}

func steps() []step {
	return []step{
		{name: "format", about: "gofmt -l", run: (*check).format},
		{name: "vet", about: "go vet", run: (*check).vet},
		{name: "lint", about: "golangci-lint " + lintVersion, run: (*check).lint},
		{name: "croston", about: "forecasts against R's", run: (*check).croston},
		{name: "test", about: "go test", servers: true, tests: true, run: (*check).test},
		{name: "race", about: "go test -race", servers: true, tests: true, run: (*check).race},
	}
}

// quick is what "quick" stands for.
var quick = []string{"format", "vet", "test"}

// choose returns the named steps in their usual order, or all of them.
func choose(names []string) ([]step, error) {
	all := steps()
	if len(names) == 0 {
		return all, nil
	}
	if slices.Equal(names, []string{"quick"}) {
		names = quick
	}
	for _, n := range names {
		if !slices.ContainsFunc(all, func(s step) bool { return s.name == n }) {
			return nil, fmt.Errorf("step %q: want %s, quick, postgres or peers", n, strings.Join(stepNames(all), ", "))
		}
	}
	return slices.DeleteFunc(all, func(s step) bool { return !slices.Contains(names, s.name) }), nil
}

func stepNames(all []step) []string {
	names := make([]string, 0, len(all))
	for _, s := range all {
		names = append(names, s.name)
	}
	return names
}
