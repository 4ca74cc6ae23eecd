package main

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

const completionFlag = "--generate-bash-completion"

// completesAfterDashes reports whether a shell asks for completions behind
// "--". The library would run the command then, and issue rods at a press of
// Tab.
func completesAfterDashes(args []string) bool {
	last := len(args) - 1
	return last > 0 && args[last] == completionFlag && slices.Contains(args[:last], "--")
}

// reorder puts flags before positional arguments, because the library takes
// "issue B1042-K --pieces 5" for an issue of nothing with three arguments.
func reorder(program *cli.App, args []string) []string {
	if len(args) == 0 {
		return args
	}
	out := []string{args[0]}
	rest := args[1:]
	commands, flags := program.Commands, program.Flags
	for {
		head, tail := leading(rest, flags)
		out = append(out, head...)
		if len(tail) == 0 {
			return out
		}
		c := find(commands, tail[0])
		if c == nil {
			return append(out, sortFlags(tail, flags)...)
		}
		out = append(out, tail[0])
		rest, commands, flags = tail[1:], c.Subcommands, slices.Concat(c.Flags, program.Flags)
		if len(commands) == 0 {
			own, global := sortGlobals(rest, c.Flags, program.Flags)
			out = slices.Insert(out, 1, global...)
			return append(out, sortFlags(own, c.Flags)...)
		}
	}
}

func find(commands []*cli.Command, name string) *cli.Command {
	for _, c := range commands {
		if c.HasName(name) {
			return c
		}
	}
	return nil
}

// leading cuts the flags off the front.
func leading(args []string, flags []cli.Flag) (head, tail []string) {
	i := 0
	for i < len(args) && isFlag(args[i]) {
		i += width(args[i:], flags)
	}
	return args[:min(i, len(args))], args[min(i, len(args)):]
}

// sortGlobals takes the flags that belong to the program, not the command, out
// of a command's arguments, so that "ovenward out --json" works.
func sortGlobals(args []string, own, global []cli.Flag) (rest, globals []string) {
	for i := 0; i < len(args); {
		n := 1
		if args[i] == "--" {
			return append(rest, args[i:]...), globals
		}
		if isFlag(args[i]) && lookup(args[i], own) == nil && lookup(args[i], global) != nil {
			n = min(width(args[i:], global), len(args)-i)
			globals = append(globals, args[i:i+n]...)
		} else {
			if isFlag(args[i]) {
				n = min(width(args[i:], own), len(args)-i)
			}
			rest = append(rest, args[i:i+n]...)
		}
		i += n
	}
	return rest, globals
}

// sortFlags returns the flags with their values, then the rest.
func sortFlags(args []string, flags []cli.Flag) []string {
	var front, back []string
	for i := 0; i < len(args); {
		if args[i] == "--" {
			return slices.Concat(front, []string{"--"}, back, args[i+1:])
		}
		n := 1
		if isFlag(args[i]) {
			n = min(width(args[i:], flags), len(args)-i)
			front = append(front, args[i:i+n]...)
		} else {
			back = append(back, args[i])
		}
		i += n
	}
	return append(front, back...)
}

func isFlag(s string) bool { return len(s) > 1 && s[0] == '-' && s != "--" }

// width is the number of arguments a flag takes up: one, or two with a value
// of its own.
func width(args []string, flags []cli.Flag) int {
	f := lookup(args[0], flags)
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
	for _, f := range flags {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}
