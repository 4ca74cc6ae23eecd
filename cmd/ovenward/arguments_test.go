package main

import (
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/urfave/cli/v2"
	"pgregory.net/rapid"
)

// program is the real command line; nothing in these tests runs it.
func program() *cli.App {
	return newProgram(&env{out: io.Discard, errs: io.Discard})
}

func TestFlagsMayStandBehindArguments(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, in, want string }{
		{"nothing", "ovenward", "ovenward"},
		{"in order already", "ovenward issue --pieces|5 B1042-K", "ovenward issue --pieces|5 B1042-K"},
		{"behind the bundle", "ovenward issue B1042-K --pieces|5", "ovenward issue --pieces|5 B1042-K"},
		{"short, with an alias", "ovenward issue B1042-K -n|5 -w|W3", "ovenward issue -n|5 -w|W3 B1042-K"},
		{"value behind =", "ovenward issue B1042-K --pieces=5", "ovenward issue --pieces=5 B1042-K"},
		{"a switch takes no value", "ovenward issue --dry-run B1042-K", "ovenward issue --dry-run B1042-K"},
		{"of the program", "ovenward out --json", "ovenward --json out"},
		{"of the program, with a value", "ovenward stock --db|sqlite:x.db --at|7:00", "ovenward --db|sqlite:x.db stock --at|7:00"},
		{"of a command in a group", "ovenward oven add H1 --kind|quiver --by|A1", "ovenward --by|A1 oven add --kind|quiver H1"},
		{"between group and command", "ovenward lot --json release 7B21", "ovenward --json lot release 7B21"},
		{"the same name as a command", "ovenward issue stock", "ovenward issue stock"},
		{"two arguments", "ovenward oven read H1 --at|7:00 120|C", "ovenward oven read --at|7:00 H1 120|C"},
		{"below zero", "ovenward oven read H1 -5|C", "ovenward oven read H1 -5|C"},
		{"below zero first", "ovenward oven read -5|C", "ovenward oven read -- -5|C"},
		{"a value below zero", "ovenward issue B1042-K -n|-3", "ovenward issue -n|-3 B1042-K"},
		{"standard input", "ovenward replay - --json", "ovenward --json replay -"},
		{"behind --", "ovenward issue B1042-K -- --pieces", "ovenward issue -- B1042-K --pieces"},
		{"unknown command", "ovenward isue B1042-K --json", "ovenward --json isue B1042-K"},
		{"unknown flag", "ovenward issue B1042-K --peices|5", "ovenward issue --peices B1042-K 5"},
		{"a shell asks", "ovenward issue B1042-K -n --generate-bash-completion", "ovenward issue B1042-K -n --generate-bash-completion"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got, err := reorder(program(), words(c.in))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(words(c.want), got); diff != "" {
				t.Errorf("reorder (-want +got):\n%s", diff)
			}
		})
	}
}

// words parts a command line; "|" stands for a space inside of a word, or for
// one between a flag and its value.
func words(line string) []string {
	var out []string
	for w := range strings.FieldsSeq(line) {
		flag, value, ok := strings.Cut(w, "|")
		if ok && strings.HasPrefix(flag, "-") && !strings.ContainsAny(flag, "0123456789") {
			out = append(out, flag, value)
			continue
		}
		out = append(out, strings.ReplaceAll(w, "|", " "))
	}
	return out
}

func TestFlagWithoutItsValueIsNamed(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]string{
		"ovenward issue B1042-K --pieces":          "--pieces needs a value; see ovenward issue --help",
		"ovenward issue B1042-K -n":                "-n needs a value; see ovenward issue --help",
		"ovenward issue --pieces --welder W3":      "--pieces needs a value; see ovenward issue --help",
		"ovenward issue --pieces -- B1042-K":       "--pieces needs a value; see ovenward issue --help",
		"ovenward stock --db":                      "--db needs a value; see ovenward stock --help",
		"ovenward oven add H1 --kind":              "--kind needs a value; see ovenward oven add --help",
		"ovenward --by":                            "--by needs a value; see ovenward --help",
		"ovenward lot hold --bundle --why damaged": "--bundle needs a value; see ovenward lot hold --help",
	} {
		_, err := reorder(program(), strings.Fields(line))
		if err == nil {
			t.Errorf("%s: accepted", line)
			continue
		}
		if got := err.Error() + "; " + hint(err); got != want || status(err) != exitUsage {
			t.Errorf("%s: %q with status %d, want %q with %d", line, got, status(err), want, exitUsage)
		}
	}
}

// line draws a command line of real commands and flags among words that are
// neither.
func line(t *rapid.T, a *cli.App) []string {
	c := rapid.SampledFrom(a.Commands).Draw(t, "command")
	args := []string{"ovenward", c.Name}
	for len(c.Subcommands) > 0 {
		c = rapid.SampledFrom(c.Subcommands).Draw(t, "sub-command")
		args = append(args, c.Name)
	}
	flags := slices.Concat(c.Flags, a.Flags)
	value := rapid.SampledFrom([]string{"B1042-K", "W3", "5", "-3", "-5 C", "1/8 in", "", "=1+1", "issue", "-"})
	for range rapid.IntRange(0, 8).Draw(t, "words") {
		switch rapid.IntRange(0, 2).Draw(t, "sort") {
		case 0:
			args = append(args, value.Draw(t, "word"))
		case 1:
			f := rapid.SampledFrom(flags).Draw(t, "flag")
			args = append(args, dashed(rapid.SampledFrom(f.Names()).Draw(t, "name")))
			if _, ok := f.(*cli.BoolFlag); !ok {
				args = append(args, value.Draw(t, "value"))
			}
		case 2:
			if rapid.IntRange(0, 9).Draw(t, "dashes") == 0 {
				args = append(args, "--")
			}
		}
	}
	return args
}

func TestReorderLosesNoArgument(t *testing.T) {
	t.Parallel()
	a := program()
	rapid.Check(t, func(t *rapid.T) {
		in := line(t, a)
		out, err := reorder(a, in)
		if err != nil {
			return // a flag at the end, or before "--", without its value
		}
		want, got := slices.Sorted(slices.Values(in)), slices.Sorted(slices.Values(out))
		if len(got) == len(want)+1 { // "--" was put before a first argument below zero
			want = slices.Sorted(slices.Values(append(in, "--")))
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("reorder(%q) = %q (-want +got):\n%s", in, out, diff)
		}
	})
}

func TestReorderTwiceChangesNothing(t *testing.T) {
	t.Parallel()
	a := program()
	rapid.Check(t, func(t *rapid.T) {
		once, err := reorder(a, line(t, a))
		if err != nil {
			return
		}
		twice, err := reorder(a, once)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(once, twice); diff != "" {
			t.Fatalf("(-once +twice):\n%s", diff)
		}
	})
}

// TestReorderKeepsArgumentsInOrder reads the sorted line as the library would:
// what is behind the flags are the arguments, in the order in which they came.
func TestReorderKeepsArgumentsInOrder(t *testing.T) {
	t.Parallel()
	a := program()
	rapid.Check(t, func(t *rapid.T) {
		arguments := rapid.SliceOfN(rapid.SampledFrom([]string{"H1", "-5 C", "120 C", "-", "=1", "B0001-G"}), 1, 4).Draw(t, "arguments")
		in := []string{"ovenward", "oven", "read"}
		for _, arg := range arguments {
			switch rapid.IntRange(0, 3).Draw(t, "flag before it") {
			case 0:
				in = append(in, "--at", "07:00")
			case 1:
				in = append(in, "--confirm")
			case 2:
				in = append(in, "--json")
			}
			in = append(in, arg)
		}
		out, err := reorder(a, in)
		if err != nil {
			t.Fatal(err)
		}
		got := slices.DeleteFunc(out[len(out)-len(arguments):], func(s string) bool { return s == "--" })
		if diff := cmp.Diff(arguments, got); diff != "" {
			t.Fatalf("%q became %q (-want +got):\n%s", in, out, diff)
		}
	})
}

func TestCompletionBehindDashesIsNeverRun(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]bool{
		"ovenward issue -- --generate-bash-completion":              true,
		"ovenward issue B1042-K -n 5 -- --generate-bash-completion": true,
		"ovenward issue --generate-bash-completion":                 false,
		"ovenward issue -- B1042-K":                                 false,
		"ovenward --generate-bash-completion":                       false,
		"ovenward":                                                  false,
	} {
		if got := completesAfterDashes(strings.Fields(line)); got != want {
			t.Errorf("completesAfterDashes(%s) = %t, want %t", line, got, want)
		}
	}
}

func TestTidyTakesOffWhatScannersSend(t *testing.T) {
	t.Parallel()
	got, err := tidy([]string{"ovenward", "issue", "B0001-G\t", "-n", " 5\r\n", "--why", "two words"})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"ovenward", "issue", "B0001-G", "-n", "5", "--why", "two words"}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	for _, bad := range []string{"7B\x1b[31m", "7B\n21", "7B\xff21", "7B\x00", "\u0085a\u0085b"} {
		if _, err := tidy([]string{"ovenward", bad}); err == nil {
			t.Errorf("tidy(%q): accepted", bad)
		}
	}
}
