package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"
)

var (
	// saidCommand is a command line inside of a text, "see it with ovenward stock
	// --at", as opposed to prose about the program.
	saidCommand = regexp.MustCompile("(?m)(?:: |with |then |see |takes [^\"]*|^   +|\\$ )ovenward ([a-z]+(?: [^\n.;,:()`]*)?)")
	saidFlag    = regexp.MustCompile(`^--([a-z-]+)`)
)

// A person at the window types what the next step says. So every command and
// flag that a text of the program names must be there.
func TestNextStepsNameCommandsThatThereAre(t *testing.T) {
	t.Parallel()
	a := program()
	seen := 0
	for _, text := range texts(t, "../..") {
		for _, m := range saidCommand.FindAllStringSubmatch(text, -1) {
			seen++
			if fault := faultOf(a, strings.Fields(m[1])); fault != "" {
				t.Errorf("%q: %s", m[0], fault)
			}
		}
	}
	if seen < 40 { // there were 74 when this was written
		t.Errorf("only %d command lines were found in texts", seen)
	}
}

// faultOf says what is wrong with a command line that a text names.
func faultOf(a *cli.App, line []string) string {
	c := find(a.Commands, line[0])
	if c == nil {
		return "there is no command " + line[0]
	}
	for i := 1; i < len(line) && len(c.Subcommands) > 0; i++ {
		sub := find(c.Subcommands, line[i])
		if sub == nil {
			break
		}
		c = sub
	}
	for _, word := range line[1:] {
		m := saidFlag.FindStringSubmatch(word)
		if m != nil && m[1] != "help" && lookup(m[0], c.Flags) == nil && lookup(m[0], a.Flags) == nil {
			return c.Name + " has no flag " + m[0]
		}
	}
	return ""
}

// texts returns the string literals of the program's own files.
func texts(t *testing.T, root string) (out []string) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			if s, err := strconv.Unquote(lit.Value); err == nil {
				out = append(out, s)
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
