package config_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/config"
	"ovenward/inventory/measure"
)

const cribAndQA = `
[[channel]]
name = "crib"
kind = "file"
path = "a.jsonl"

[[channel]]
name = "qa"
kind = "file"
path = "b.jsonl"
lists_only = true
`

func TestListsAreReadWhole(t *testing.T) {
	t.Parallel()
	c, err := read(t, cribAndQA+`
[[list]]
report = "shift-end"
every = "shift"
after = "10m"
to = ["crib", "qa"]

[[list]]
report = "qa-digest"
every = "day"
at = "06:30"
to = ["qa"]

[[list]]
name = "monday"
report = "buying-digest"
every = "week"
on = "Monday"
at = "07:00"
to = ["qa"]

[reminder]
before = "15m"
to = ["crib"]
`)
	if err != nil {
		t.Fatal(err)
	}
	type short struct {
		Name, Report string
		Every        config.Every
		Clock, After measure.Duration
		Day          time.Weekday
		To           []string
	}
	var got []short
	for _, l := range c.Lists {
		got = append(got, short{l.Name, l.Report.Name, l.Every, l.Clock, l.After, l.Day, l.Channels})
	}
	want := []short{
		{"shift-end", "shift-end", config.EachShift, 0, 10 * measure.Minute, 0, []string{"crib", "qa"}},
		{"qa-digest", "qa-digest", config.EachDay, 6*measure.Hour + 30*measure.Minute, 0, 0, []string{"qa"}},
		{"monday", "buying-digest", config.EachWeek, 7 * measure.Hour, 0, time.Monday, []string{"qa"}},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("lists (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff(config.Reminder{Before: 15 * measure.Minute, Channels: []string{"crib"}}, c.Reminder); diff != "" {
		t.Errorf("reminder (-want +got):\n%s", diff)
	}
	if !c.Channels[1].Lists || c.Channels[0].Lists {
		t.Error("the channel qa is told of lists alone, and crib is not")
	}
}

func TestAListThatCannotBeMadeIsRefusedByItsField(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ text, where string }{
		{"[[list]]\nreport = \"nonsense\"\nevery = \"day\"\nat = \"06:00\"\nto = [\"qa\"]", "list nonsense, report"},
		{"[[list]]\nreport = \"recall\"\nevery = \"day\"\nat = \"06:00\"\nto = [\"qa\"]", "list recall, report"},
		{"[[list]]\nreport = \"shift\"\nevery = \"hour\"\nto = [\"qa\"]", "list shift, every"},
		{"[[list]]\nreport = \"shift\"\nevery = \"day\"\nat = \"6\"\nto = [\"qa\"]", "list shift, at"},
		{"[[list]]\nreport = \"shift\"\nevery = \"day\"\nto = [\"qa\"]", "list shift, at"},
		{"[[list]]\nreport = \"shift\"\nevery = \"shift\"\nat = \"06:00\"\nto = [\"qa\"]", "list shift, at"},
		{"[[list]]\nreport = \"shift\"\nevery = \"shift\"\nafter = \"25h\"\nto = [\"qa\"]", "list shift, after"},
		{"[[list]]\nreport = \"shift\"\nevery = \"week\"\non = \"7\"\nat = \"06:00\"\nto = [\"qa\"]", "list shift, on"},
		{"[[list]]\nreport = \"shift\"\nevery = \"shift\"", "list shift, to"},
		{"[[list]]\nreport = \"shift\"\nevery = \"shift\"\nto = [\"nobody\"]", "list shift, to"},
		{"[[list]]\nreport = \"shift\"\nevery = \"shift\"\nto = [\"qa\"]\n[[list]]\nreport = \"shift\"\nevery = \"shift\"\nto = [\"qa\"]", "list shift, name"},
		{"[reminder]\nbefore = \"soon\"\nto = [\"qa\"]", "reminder, before"},
		{"[reminder]\nbefore = \"15m\"", "reminder, to"},
	} {
		_, err := read(t, cribAndQA+tt.text)
		if e, ok := errors.AsType[*config.FileError](err); !ok || e.Where != tt.where {
			t.Errorf("%s: %v, want one at %s", tt.text, err, tt.where)
		}
	}
}
