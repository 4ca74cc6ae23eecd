package timeline_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"ovenward/cmd/internal/timeline"
)

const header = `{"timeline":1,"zone":"America/Halifax","rules":"reference-running"}`

const release = `{"at":"2025-06-05 06:30","do":"release","lot":"7B21"}`

// headed is the header with something more, or something else: of a name that
// is there twice the last one counts.
func headed(more string) string { return strings.TrimSuffix(header, "}") + "," + more + "}" }

// lines is a timeline under the running reference rules.
func lines(text ...string) string { return header + "\n" + strings.Join(text, "\n") + "\n" }

func read(t testing.TB, text string) *timeline.File {
	t.Helper()
	f, err := timeline.Read(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestFaultyLineIsNamed(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, text string
		line       int
		why        string
	}{
		{"nothing", "", 1, "no header"},
		{"only comments", "# paper log of 5 June\n\n", 1, "no header"},
		{"a fact first", at("06:30", "release", `"lot":"7B21"`), 1, `unknown field "at"`},
		{"an expectation first", `{}`, 1, "no header"},
		{"another version", `{"timeline":2,"zone":"UTC","rules":"reference-running"}`, 1,
			"timeline 2; this program reads version 1"},
		{"header without zone", `{"timeline":1,"rules":"reference-running"}`, 1, "zone and rules are needed"},
		{"header without rules", `{"timeline":1,"zone":"UTC"}`, 1, "zone and rules are needed"},
		{"wrong zone", headed(`"zone":"Haliphax"`), 1, `unknown zone "Haliphax"`},
		{"this machine's zone", headed(`"zone":"Local"`), 1, `unknown zone "Local"`},
		{"zone behind comments", "# log\n# of June\n" + headed(`"zone":"Moon"`), 3, `unknown zone "Moon"`},
		{"unknown rule set", headed(`"rules":"reference-walking"`), 1, "reference-walking"},
		{"unknown setting", headed(`"set":{"bake.min":1}`), 1, "bake.min"},
		{"setting out of its words", headed(`"set":{"evidence.missing":"perhaps"}`), 1, "evidence.missing"},
		{"setting without its unit", headed(`"set":{"packet.limit":12}`), 1, "packet.limit"},
		{"a row without its source", headed(`"rows":["[[packet]]","row = \"p\"","limit = \"12h\"","status = \"shop\""]`), 1,
			"row p: source is missing"},
		{"unknown field of the header", headed(`"colour":"red"`), 1, `unknown field "colour"`},
		{"two objects", header + header, 1, "more than one JSON object"},
		{"bad JSON", lines(`# first`, `{"at":"2025-06-05 06:30","do":`), 3, "unexpected end of JSON input"},
		{"a list", lines(`[1,2]`), 2, "array does not belong here"},
		{"no verb", lines(`{"at":"2025-06-05 06:30","bundle":"K1"}`), 2, "no verb"},
		{"unknown verb", lines(``, at("06:30", "borrow", `"bundle":"K1"`)), 3, "borrow"},
		{"unknown field", lines(release, at("06:30", "issue", `"bundel":"K1"`)), 3, `unknown field "bundel"`},
		{"unknown field of a reading", lines(at("06:30", "reading", `"place":"H1","valeu":"130 C"`)), 2,
			`unknown field "valeu"`},
		{"unknown expectation", lines(at("06:30", "expect", `"bundle":"K1","verdikt":"ready"`)), 2,
			`cannot expect "verdikt"; use one of: verdict`},
		{"fact without a time", lines(`{"do":"release","lot":"7B21"}`), 2, "no time"},
		{"correction without a time", lines(`{"do":"correct","fact":"a","reason":"b"}`), 2, "no time"},
		{"a list for a name", lines(at("06:30", "issue", `"bundle":["K1"]`)), 2, "bundle: array does not belong"},
		{"numbers in a list", lines(at("06:30", "issue", `"joints":[1,2]`)), 2, "joints: number does not belong"},
		{"one name twice", lines(at("06:30", "release", `"lot":1,"Lot":2`)), 2, "lot: number does not belong"},
		{"a number for a time", lines(`{"at":630,"do":"release","lot":"7B21"}`), 2, "at: number does not belong"},
		{"a very long line", lines(at("06:30", "release", `"lot":"`+strings.Repeat("7", 2<<20)+`"`)), 2, "longer than"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := timeline.Read(strings.NewReader(c.text))
			e, ok := errors.AsType[*timeline.LineError](err)
			if !ok || e.Line != c.line || !strings.Contains(e.Why, c.why) {
				t.Errorf("got %v, want line %d: ... %s", err, c.line, c.why)
			}
		})
	}
}

func TestReaderIsForgivingAboutForm(t *testing.T) {
	t.Parallel()
	const expect = `{"do":"expect","bundle":"K1","pieces":150}`
	plain := read(t, lines(release, expect))
	for name, text := range map[string]string{
		"byte order mark":    "\ufeff" + lines(release, expect),
		"Windows line ends":  strings.ReplaceAll(lines(release, expect), "\n", "\r\n"),
		"no last line end":   strings.TrimSpace(lines(release, expect)),
		"blanks around":      lines("  "+release+"  ", "\t"+expect),
		"notes on facts":     lines(release[:len(release)-1]+`,"note":"by phone"}`, expect),
		"order of the names": lines(`{"lot":"7B21","do":"release","at":"2025-06-05 06:30"}`, expect),
	} {
		f := read(t, text)
		for i, l := range f.Lines {
			want := plain.Lines[i]
			l.Head.Note = ""
			if l.Number != want.Number || l.Head != want.Head || len(l.Body) != len(want.Body) {
				t.Errorf("%s: line %d is %+v, want %+v", name, i, l, want)
			}
		}
		if len(f.Lines) != 2 {
			t.Errorf("%s: %d lines, want 2", name, len(f.Lines))
		}
	}
}

func TestCommentsAndEmptyLinesKeepTheNumbering(t *testing.T) {
	t.Parallel()
	f := read(t, "# a paper log\n\n"+header+"\n// the morning\n"+release+"\n\n"+release)
	var got []int
	for _, l := range f.Lines {
		got = append(got, l.Number)
	}
	if want := []int{5, 7}; !slices.Equal(got, want) {
		t.Errorf("lines %d, want %d", got, want)
	}
}

// The names of the settings are those that the header may change.
func TestEverySettingIsRead(t *testing.T) {
	t.Parallel()
	for _, set := range []string{`"bake.max":3`, `"bake.max":"3"`, `"hold.max_days":10`, `"packet.limit":"12h"`,
		`"bake.load_lag":"0:30"`, `"evidence.max_gap":"60m"`, `"evidence.missing":"qa-hold"`, `"evidence.missing":"open"`,
		`"oven.excursion":"qa-hold"`, `"return.at_limit":"hold"`, `"return.at_limit":"bake"`, `"first_bake.counts":false`,
		`"issue.max_hours":"4h"`, `"issue.max_hours":4`, `"stubs.count":true`, `"bake.max":3,"first_bake.counts":true`} {
		read(t, headed(`"set":{`+set+`}`))
	}
}

func FuzzRead(f *testing.F) {
	for _, path := range files(f) {
		f.Add(string(contents(f, path)))
	}
	f.Add("")
	f.Add("\ufeff# paper\r\n" + header + "\r\n// \r\n{\"do\":\"expect\",\"slip\":101,\"overdue\":true}")
	f.Add(lines(at("06:30", "reading", `"place":"H1","value":250`), `{"at":1}`))
	f.Add(lines(at("06:30", "release", `"lot":1,"Lot":null,"lOT":3`)))
	f.Add(lines(at("06:30", "issue", `"joints":"J-1","pieces":-1`), `{"at":"x","do":"correct","new":{}}`))
	f.Fuzz(func(t *testing.T, text string) {
		got, err := timeline.Read(strings.NewReader(text))
		if err != nil {
			e, ok := errors.AsType[*timeline.LineError](err)
			if !ok || e.Line < 1 || e.Line > strings.Count(text, "\n")+1 || e.Why == "" {
				t.Fatalf("error %v does not name a line", err)
			}
			return
		}
		before := 0
		for _, l := range got.Lines {
			if l.Number <= before || l.Head.Do == "" {
				t.Fatalf("line %d with verb %q after line %d", l.Number, l.Head.Do, before)
			}
			before = l.Number
		}
	})
}
