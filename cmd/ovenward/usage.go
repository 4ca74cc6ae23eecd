package main

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/urfave/cli/v2"
)

// usageError is a wrong use of the command line.
type usageError struct {
	text    string
	command string // whose help says how; empty: that of the program
}

func (e *usageError) Error() string { return e.text }

// Hint says where the right use is described.
func (e *usageError) Hint() string {
	if e.command == "" {
		return "see ovenward --help, or ovenward COMMAND --help"
	}
	return "see " + e.command + " --help"
}

func usagef(format string, args ...any) error { return &usageError{text: fmt.Sprintf(format, args...)} }

// blame names the command that was used wrongly.
func blame(c *cli.Context, err error) error {
	if u, ok := errors.AsType[*usageError](err); ok && u.command == "" && c.Command != nil && len(c.Command.Subcommands) == 0 {
		u.command = c.Command.HelpName
	}
	return err
}

// onUsage is called for a command line that the library cannot read.
func onUsage(c *cli.Context, err error, _ bool) error { return blame(c, usagef("%s", inWords(err))) }

// The library's messages about flags.
var (
	noSuchFlag = regexp.MustCompile(`^flag provided but not defined: -(.*)$`)
	noValue    = regexp.MustCompile(`^flag needs an argument: -(.*)$`)
	badValue   = regexp.MustCompile(`^invalid (?:boolean )?value (".*") for (?:flag )?-(\S+?): `)
)

// inWords says the library's error as a person would.
func inWords(err error) string {
	s := err.Error()
	if m := noSuchFlag.FindStringSubmatch(s); m != nil {
		return "there is no flag " + dashed(m[1])
	}
	if m := noValue.FindStringSubmatch(s); m != nil {
		return dashed(m[1]) + " needs a value"
	}
	if m := badValue.FindStringSubmatch(s); m != nil {
		return fmt.Sprintf("%s %s: it does not take that value", dashed(m[2]), m[1])
	}
	return s
}

// dashed is a flag as it is written.
func dashed(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + strings.TrimPrefix(name, "-")
}
