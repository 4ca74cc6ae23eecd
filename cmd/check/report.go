package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// event is one line of go test -json, see "go doc test2json".
type event struct {
	Action      string
	Package     string
	ImportPath  string // in place of Package while building
	Test        string
	Elapsed     float64 // seconds
	Output      string
	FailedBuild string
}

// report turns events into lines for people and counts tests.
type report struct {
	c      *check
	text   map[string]*strings.Builder // what each test has printed so far
	tests  map[string]int              // by package
	broken map[string]bool             // packages with a failed test
	failed int
}

func newReport(c *check) *report {
	return &report{c: c, text: map[string]*strings.Builder{}, tests: map[string]int{}, broken: map[string]bool{}}
}

func (r *report) read(from io.Reader) error {
	d := json.NewDecoder(from)
	for {
		var e event
		if err := d.Decode(&e); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return fmt.Errorf("go test -json: %w", err)
		}
		r.take(e)
	}
}

func (r *report) take(e event) {
	switch e.Action {
	case "output":
		r.keep(e)
	case "build-output":
		fmt.Fprint(r.c.out, e.Output)
	case "pass", "fail", "skip":
		if e.Test == "" {
			r.endPackage(e)
		} else {
			r.endTest(e)
		}
	}
}

func (r *report) keep(e event) {
	key := e.Package + " " + e.Test
	if r.text[key] == nil {
		r.text[key] = &strings.Builder{}
	}
	r.text[key].WriteString(e.Output)
}

// endTest counts a test. One that was skipped counts as failed: it has shown
// nothing, and would go on showing nothing unseen.
func (r *report) endTest(e event) {
	r.tests[e.Package]++
	if e.Action == "pass" {
		r.c.passed++
		r.forget(e)
		return
	}
	r.fail(e)
	if e.Action == "skip" {
		fmt.Fprintf(r.c.out, "FAIL %s %s: skipped, which no test may be\n", e.Package, e.Test)
	}
	r.show(e)
}

// endPackage shows a package's line. A package that failed outside its tests,
// for one by not building, counts as one failed check.
func (r *report) endPackage(e event) {
	switch {
	case e.Action == "skip": // it has no tests
	case e.Action == "pass":
		fmt.Fprintf(r.c.out, "ok   %s, %d tests, %.1f s\n", e.Package, r.tests[e.Package], e.Elapsed)
	case !r.broken[e.Package]:
		r.fail(e)
		r.show(e)
		fallthrough
	default:
		fmt.Fprintf(r.c.out, "FAIL %s, %.1f s\n", e.Package, e.Elapsed)
	}
	r.forget(e)
}

func (r *report) fail(e event) {
	r.failed++
	r.c.failed++
	r.broken[e.Package] = true
}

func (r *report) show(e event) {
	if text := r.text[e.Package+" "+e.Test]; text != nil {
		fmt.Fprint(r.c.out, text.String())
	}
	r.forget(e)
}

func (r *report) forget(e event) { delete(r.text, e.Package+" "+e.Test) }
