package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// clockCalls are the functions of package time that ask the clock.
var clockCalls = []string{"Now", "Since", "Until", "After", "AfterFunc", "NewTimer", "NewTicker", "Tick", "Sleep"}

// Judgements must come out the same years later, so only the program asks the
// clock; everything else is given an instant. The packages that wait for the
// database ask it for pauses.
func TestOnlyTheProgramAsksTheClock(t *testing.T) {
	t.Parallel()
	for _, p := range listed(t) {
		if name := p.name(); layer(name) == slices.Index(layers, "cmd") {
			continue
		}
		for _, f := range p.GoFiles {
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, filepath.Join(p.Dir, f), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			for _, fault := range clockFaults(set, file) {
				t.Error(fault)
			}
		}
	}
}

func TestClockRuleBites(t *testing.T) {
	t.Parallel()
	const source = `package p
import (
	t "time"
)
var then = t.Unix(0, 0)
func f() { now := t.Now; _ = t.Since(now()) }
`
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, "p.go", source, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"p.go:6:19: time.Now: take an instant as an argument", "p.go:6:30: time.Since: take an instant as an argument"}
	if diff := cmp.Diff(want, clockFaults(set, file)); diff != "" {
		t.Errorf("faults (-want +got):\n%s", diff)
	}
}

// clockFaults returns the places where a file asks the clock.
func clockFaults(set *token.FileSet, file *ast.File) (faults []string) {
	local := localName(file, "time")
	ast.Inspect(file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := sel.X.(*ast.Ident); ok && x.Name == local && slices.Contains(clockCalls, sel.Sel.Name) {
			faults = append(faults, fmt.Sprintf("%s: time.%s: take an instant as an argument",
				set.Position(sel.Pos()), sel.Sel.Name))
		}
		return true
	})
	return faults
}

// localName returns what a file calls an imported package; "" if it does not
// import it.
func localName(file *ast.File, path string) string {
	for _, i := range file.Imports {
		if p, err := strconv.Unquote(i.Path.Value); err != nil || p != path {
			continue
		}
		if i.Name != nil {
			return i.Name.Name
		}
		return path
	}
	return ""
}
