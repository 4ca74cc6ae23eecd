package main

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/urfave/cli/v2"
)

const completionFlag = "--generate-bash-completion"

// completes reports whether a shell asks what could come next.
func completes(args []string) bool {
	return len(args) > 1 && args[len(args)-1] == completionFlag
}

// completesAfterDashes reports whether a shell asks for completions behind
// "--". The library would run the command then, and issue rods at a press of
// Tab.
func completesAfterDashes(args []string) bool {
	return completes(args) && slices.Contains(args, "--")
}

// tidy takes the space off the ends of what was typed or scanned, because
// scanners are often set to send a tab or a line feed behind a label. What is
// still no plain text would be kept as a name that nobody can type.
func tidy(args []string) ([]string, error) {
	out := make([]string, len(args))
	for i, a := range args {
		out[i] = strings.TrimSpace(a)
		if !utf8.ValidString(a) || strings.ContainsFunc(out[i], unicode.IsControl) {
			return nil, usagef("%q holds characters that cannot be read: type it, or set the scanner to plain text", a)
		}
	}
	return out, nil
}

// reorder puts flags before positional arguments, and flags of the program
// before its commands, because the library takes "issue B1042-K --pieces 5" for
// an issue of nothing with three arguments. The error is a usage error for a
// flag without the value that it needs.
func reorder(program *cli.App, args []string) ([]string, error) {
	if len(args) == 0 || completes(args) {
		return args, nil
	}
	s := sorter{global: program.Flags, commands: program.Commands, name: program.Name}
	if err := s.sort(args[1:]); err != nil {
		return nil, err
	}
	return slices.Concat(args[:1], s.globals, s.path, s.flags, s.rest), nil
}

// sorter parts a command line into what the library wants apart.
type sorter struct {
	global   []cli.Flag     // of the program
	own      []cli.Flag     // of the command reached
	commands []*cli.Command // of the command reached
	name     string         // of the command reached, such as "ovenward oven add"

	globals []string // flags of the program with their values
	path    []string // names of commands, and flags between them
	flags   []string // of the last command, with their values
	rest    []string // positional arguments, behind "--" where it was there or is needed
}

func (s *sorter) sort(args []string) error {
	for len(args) > 0 {
		n := 1
		switch c := find(s.commands, args[0]); {
		case args[0] == "--":
			s.rest = slices.Concat([]string{"--"}, s.rest, args[1:])
			return nil
		case isFlag(args[0]):
			if n = s.width(args); n > len(args) || (n == 2 && s.known(args[1])) {
				return &usageError{args[0] + " needs a value", s.name}
			}
			s.flag(args[:n])
		case c != nil:
			s.path = append(s.path, s.flags...)
			s.path, s.flags = append(s.path, args[0]), nil
			s.own, s.commands = c.Flags, c.Subcommands
			s.name += " " + args[0]
		default:
			s.commands = nil
			s.rest = append(s.rest, args[0])
		}
		args = args[n:]
	}
	if len(s.rest) > 0 && s.rest[0] != "-" && strings.HasPrefix(s.rest[0], "-") {
		s.rest = slices.Insert(s.rest, 0, "--")
	}
	return nil
}

func find(commands []*cli.Command, name string) *cli.Command {
	i := slices.IndexFunc(commands, func(c *cli.Command) bool { return c.HasName(name) })
	if i < 0 {
		return nil
	}
	return commands[i]
}

// flag keeps a flag with its value where it belongs. The library says what is
// wrong with one that nobody has.
func (s *sorter) flag(args []string) {
	if lookup(args[0], s.own) == nil && lookup(args[0], s.global) != nil {
		s.globals = append(s.globals, args...)
		return
	}
	s.flags = append(s.flags, args...)
}

// isFlag tells a flag from "-", which is standard input, and from a value below
// zero such as -5 C.
func isFlag(s string) bool {
	name := strings.TrimLeft(s, "-")
	return strings.HasPrefix(s, "-") && name != "" && (name[0] < '0' || name[0] > '9') && name[0] != '.'
}

// known reports whether an argument is one of the flags that can stand here, or
// the "--" behind which there are none.
func (s *sorter) known(arg string) bool {
	return arg == "--" || (isFlag(arg) && (lookup(arg, s.own) != nil || lookup(arg, s.global) != nil))
}

// width is the number of arguments that a flag takes up: one, or two with a
// value of its own.
func (s *sorter) width(args []string) int {
	f := lookup(args[0], s.own)
	if f == nil {
		f = lookup(args[0], s.global)
	}
	if f == nil || strings.Contains(args[0], "=") {
		return 1
	}
	if _, ok := f.(*cli.BoolFlag); ok {
		return 1
	}
	return 2
}

func lookup(arg string, flags []cli.Flag) cli.Flag {
	name, _, _ := strings.Cut(strings.TrimLeft(arg, "-"), "=")
	i := slices.IndexFunc(flags, func(f cli.Flag) bool { return slices.Contains(f.Names(), name) })
	if i < 0 {
		return nil
	}
	return flags[i]
}
