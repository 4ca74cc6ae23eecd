package rules_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/storage/rules"
)

func TestParseReadsASoundSet(t *testing.T) {
	t.Parallel()
	s := parse(t, sound)
	if len(s.Exposure) != 2 || s.Exposure[0].Limit != span(t, "4h") || s.Hold[0].Min.String() != "250 F" {
		t.Errorf("read %+v", s)
	}
	if s.Text != sound || len(s.Digest) != 64 {
		t.Errorf("digest %q of a text of %d bytes, want SHA-256 of all %d", s.Digest, len(s.Text), len(sound))
	}
}

// What a set leaves out is the stricter choice, or the one of the reference
// sets.
func TestParseFillsInDefaults(t *testing.T) {
	t.Parallel()
	text := sound[:strings.Index(sound, "[clock]")] + "[bakes]\nmax = 1\n"
	s := parse(t, text)
	want := rules.Set{
		Clock:    rules.Clock{Policy: rules.Running, WarnPercent: 80, ReturnAtLimit: rules.BakeAtLimit},
		Evidence: rules.Evidence{MaxGap: span(t, "1h"), Missing: rules.MissingQAHold},
		Oven:     rules.Oven{Excursion: rules.ExcursionExposure, Lapsed: rules.Warned},
		Bakes:    rules.Bakes{Max: 1, FirstCounts: true},
	}
	if s.Clock != want.Clock || s.Evidence != want.Evidence || s.Oven != want.Oven || s.Bakes != want.Bakes {
		t.Errorf("defaults %+v %+v %+v %+v, want %+v %+v %+v %+v",
			s.Clock, s.Evidence, s.Oven, s.Bakes, want.Clock, want.Evidence, want.Oven, want.Bakes)
	}
	if s := parse(t, changed(t, "max = 1\n", "max = 1\nfirst_counts = false\n")); s.Bakes.FirstCounts {
		t.Error("first_counts = false is read as true")
	}
	if s := parse(t, sound); s.Exposure[0].Authority != rules.Code {
		t.Errorf("authority %q, want code", s.Exposure[0].Authority)
	}
}

// Every fault names the file, the line, the row and what to write instead.
func TestFaultsOfAFile(t *testing.T) {
	t.Parallel()
	cases := []struct{ name, old, by, want string }{
		{"syntax", `limit = "4h"`, `limit = `,
			`yard.toml:21, row e70: cannot be read: expected value but found '\n' instead`},
		{"temperature without unit", `min = "250 F"`, `min = "250"`,
			`yard.toml:37, row hold: min: temperature "250": no unit; write a number with C or F, such ` +
				`as 120 C or 250 F`},
		{"temperature as a number", `min = "250 F"`, `min = 250`,
			`yard.toml:37, row hold: min: temperature "250": no unit; write a number with C or F, such ` +
				`as 120 C or 250 F`},
		{"time without unit, in the first of two rows", `limit = "4h"`, `limit = "4"`,
			`yard.toml:21, row e70: limit: duration "4": no unit; ` +
				`write hours and minutes such as 3:45, or a number with h, min or days such as 4h`},
		{"text for a number", `max = 1`, `max = "one"`,
			`yard.toml:14: max: is a text where a whole number is asked for`},
		{"number for a text", `id = "yard"`, `id = 7`,
			`yard.toml:1: id: is a whole number where a text is asked for`},
		{"unknown key in a row", `duration = "4h"`, "duration = \"4h\"\nlenngth = \"4h\"",
			`yard.toml:40, row hold: unknown key "hold.lenngth": check its spelling against the shipped sets`},
		{"unknown key in braces", `min = 80, max = 89`, `min = 80, mox = 89`,
			`yard.toml:29, row e80: unknown key "exposure.strength_ksi.mox": check its spelling against ` +
				`the shipped sets`},
		{"unknown key of the set", `edition = "1"`, "edition = \"1\"\nowner = \"yard\"",
			`yard.toml:4: unknown key "owner": check its spelling against the shipped sets`},
		{"unknown table", "[clock]", "[clocks]\npolicy = \"running\"\n[clock]",
			`yard.toml:7: unknown key "clocks": check its spelling against the shipped sets`},
		{"no id", `id = "yard"`, ``, `yard.toml: id is missing: write id = "..."`},
		{"blank title", `title = "Rules of an invented yard"`, `title = " "`,
			`yard.toml:2: title is missing: write title = "..."`},
		{"unit system", `unit_system = "US"`, `unit_system = "metric"`,
			`yard.toml:4: unit_system is "metric": write "US" or "SI"; a set decides in one of them`},
		{"no first day", `valid_from = "2025-01-01"`, ``,
			`yard.toml: valid_from is missing: write the first day on which the set applies, such as 2025-01-01`},
		{"first day is no day", `valid_from = "2025-01-01"`, `valid_from = "1 Jan 2025"`,
			`yard.toml:5: valid_from is wrong: date "1 Jan 2025": not a date; write year-month-day such ` +
				`as 2025-06-05`},
		{"ends before it begins", `valid_from = "2025-01-01"`,
			"valid_from = \"2025-01-01\"\nvalid_to = \"2024-12-31\"",
			`yard.toml:6: valid_to 2024-12-31 is before valid_from 2025-01-01`},
		{"policy", `policy = "running"`, `policy = "walking"`,
			`yard.toml:8: clock.policy is "walking": use one of ["running" "summed"]`},
		{"warning", `policy = "running"`, "warn_percent = 100",
			`yard.toml:8: clock.warn_percent is 100: a warning comes between 1 and 99 per cent of the limit`},
		{"gap", `max_gap = "60m"`, `max_gap = "-1h"`,
			`yard.toml:11: evidence.max_gap is -1:00: write a time that is not negative`},
		{"bakes", `max = 1`, `max = -1`,
			`yard.toml:14: bakes.max is -1: write the number of bakes allowed, 0 for none`},
		{"row without a name", `row = "hold"`, ``,
			`yard.toml, row ?: a row of kind hold has no name: write row = "..."`},
		{"name twice", `row = "bake"`, `row = "e70"`,
			`yard.toml:45, row e70: the name stands twice: every row has its own`},
		{"no source", "limit = \"4h\"\nsource = \"yard procedure 7\"", `limit = "4h"`,
			`yard.toml:17, row e70: source is missing: say where the figure comes from, with edition and clause`},
		{"status", `status = "shop"`, `status = "sure"`,
			`yard.toml:17, row e70: status is "sure": use confirmed, single-source, memory or shop`},
		{"authority", `status = "shop"`, "status = \"shop\"\nauthority = \"pope\"",
			`yard.toml:17, row e70: authority is "pope": use code, maker, owner or shop`},
		{"no limit", "limit = \"4h\"\n", ``,
			`yard.toml:17, row e70: limit is missing: write limit = "4h", or clock = "none" where none runs`},
		{"limit and no clock", `limit = "4h"`, "limit = \"4h\"\nclock = \"none\"",
			`yard.toml:17, row e70: a limit of 4:00 and clock = "none" contradict each other`},
		{"clock", `limit = "4h"`, `clock = "off"`,
			`yard.toml:17, row e70: clock is "off": write "none", "elapsed", or leave it out`},
		{"hold without a time", `duration = "4h"`, ``,
			`yard.toml:35, row hold: duration is missing: write a time such as duration = "4h"`},
		{"hold without a temperature", `min = "250 F"`, ``,
			`yard.toml:35, row hold: min is missing: write a temperature such as min = "250 F"`},
		{"max below min", `max = "350 F"`, `max = "249.9 F"`,
			`yard.toml:35, row hold: max 249.9 F is below min 250 F`},
		{"the other unit system", `min = "250 F"`, `min = "121 °C"`,
			`yard.toml:35, row hold: min 121 °C in a set of unit_system "US": write it in F`},
		{"bake without an upper end", `max = "800 F"`, ``,
			`yard.toml:45, row bake: max is missing: write a temperature such as max = "250 F"`},
		{"soak", `soak = "2h"`, "soak = \"2h\"\nsoak_max = \"1h\"",
			`yard.toml:45, row bake: soak_max 1:00 is shorter than soak 2:00`},
		{"half a pre-soak", `soak = "2h"`, "soak = \"2h\"\npresoak = \"30m\"",
			`yard.toml:45, row bake: presoak (a time) and presoak_percent (1 to 100) go together`},
		{"family", `family = ["low-hydrogen"]`, `family = ["low hydrogen"]`,
			`yard.toml:17, row e70: family is "low hydrogen": use one of ["low-hydrogen" "cellulosic" "rutile" ` +
				`"iron-oxide" "acid" "stainless" "solid-wire" "cored-wire" "saw-flux" "maker-stated"]`},
		{"mark", `limit = "4h"`, "limit = \"4h\"\nmoisture_mark = \"yes\"",
			`yard.toml:17, row e70: moisture_mark is "yes": use one of ["with" "without"]`},
		{"class", `limit = "4h"`, "limit = \"4h\"\nclasses = [\"e7018\"]",
			`yard.toml:17, row e70: classes: "e7018" is not a mark as the program prints it`},
		{"strengths the wrong way round", `min = 70, max = 79`, `min = 79, max = 70`,
			`yard.toml:17, row e70: strength_ksi: max 70 is below min 79`},
		{"list for a text", `limit = "4h"`, "limit = \"4h\"\nmilitary = [\"with\"]",
			`yard.toml:22, row e70: military: is a list where a text is asked for`},
		{"table for a list", `[[hold]]`, "[hold]",
			`yard.toml:34, row hold: hold: is a table where a list is asked for`},
		{"control character", `row = "e70"`, "row = \"e\x0170\"",
			`yard.toml:17, row e70: cannot be read: TOML files cannot contain control characters: '0x01'`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := rules.Parse("yard.toml", []byte(changed(t, c.old, c.by)))
			if err == nil {
				t.Fatal("Parse() took it")
			}
			if err.Error() != c.want {
				t.Errorf("Parse():\n got %s\nwant %s", err, c.want)
			}
			if _, ok := errors.AsType[*rules.FileError](err); !ok {
				t.Errorf("the error is %T, want *FileError", err)
			}
		})
	}
}

// TestFaultsOfRows adds a row to the sound set, which has 51 lines.
func TestFaultsOfRows(t *testing.T) {
	t.Parallel()
	const signed = "\nsource = \"yard procedure 8\"\nstatus = \"shop\"\n"
	cases := []struct{ name, row, want string }{
		{"overlap by strength", `[[exposure]]
row = "e75"
family = ["low-hydrogen"]
strength_ksi = { min = 75, max = 84 }
limit = "1h"`,
			`yard.toml:54, row e75: overlaps exposure row e70: the same stock would meet both; narrow one of them
yard.toml:54, row e75: overlaps exposure row e80: the same stock would meet both; narrow one of them`},
		{"overlap of holds", `[[hold]]
row = "all"
min = "250 F"
duration = "1h"`,
			`yard.toml:54, row all: overlaps hold row hold: the same stock would meet both; narrow one of them`},
		{"gap in the strengths", `[[exposure]]
row = "e100"
spec = ["A5.5"]
family = ["low-hydrogen"]
strength_ksi = { min = 100, max = 119 }
limit = "30m"`,
			`yard.toml:54, row e100: no row speaks of A5.5 low-hydrogen of 90 to 99 ksi ` +
				`between it and row e80: widen one of them`},
		{"quiver without use", `[[quiver]]
row = "q"
min = "150 F"`,
			`yard.toml:54, row q: gives nothing: write total = "8h" for a credit of its own, or as_hold = true`},
		{"quiver", `[[quiver]]
row = "q"
total = "-8h"
on_dip = "cool"`, `yard.toml:54, row q: min is missing: write a temperature such as min = "250 F"
yard.toml:54, row q: on_dip is "cool": use one of ["open" "revert"]
yard.toml:54, row q: total is -8:00: write a time such as total = "8h"`},
		{"packet", `[[packet]]
row = "p"`, `yard.toml:54, row p: limit is missing: write a time such as limit = "4h"`},
		{"days in holding", `[[holding_time]]
row = "d"
max_days = 0`, `yard.toml:54, row d: max_days is 0: write a positive number`},
		{"shelf life", `[[shelf_life]]
row = "s"
years = -1
packages = ["tin"]`,
			`yard.toml:54, row s: packages is "tin": use one of ["hermetic can" "vacuum pack" "carton" ` +
				`"plastic box" "sealed spool" "bag" "drum" "loose"]
yard.toml:54, row s: years is -1: write a positive number`},
		{"co-storage without a place", `[[co_storage]]
row = "c"`, `yard.toml:54, row c: places is missing: name the kinds of place, such as "holding oven"`},
		{"co-storage in no place", `[[co_storage]]
row = "c"
places = ["oven"]`, `yard.toml:54, row c: places is "oven": use one of ["shelf" "holding oven" "bake oven" ` +
			`"quiver" "feeder" "hopper"]`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := rules.Parse("yard.toml", []byte(sound+"\n"+c.row+signed))
			if err == nil {
				t.Fatal("Parse() took it")
			}
			if err.Error() != c.want {
				t.Errorf("Parse():\n got %s\nwant %s", err, c.want)
			}
		})
	}
}

// The other authority's row may speak of the same stock: the tightest applies.
func TestRowsOfTwoAuthoritiesMayOverlap(t *testing.T) {
	t.Parallel()
	parse(t, sound+"\n[[exposure]]\nrow = \"maker\"\nauthority = \"maker\"\nfamily = [\"low-hydrogen\"]\n"+
		"limit = \"2h\"\nsource = \"data sheet\"\nstatus = \"shop\"\n")
}
