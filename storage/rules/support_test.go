package rules_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// sound is a small set without a fault. Tests change one thing in it.
const sound = `id = "yard"
title = "Rules of an invented yard"
edition = "1"
unit_system = "US"
valid_from = "2025-01-01"

[clock]
policy = "running"

[evidence]
max_gap = "60m"

[bakes]
max = 1

[[exposure]]
row = "e70"
spec = ["A5.1"]
family = ["low-hydrogen"]
strength_ksi = { min = 70, max = 79 }
limit = "4h"
source = "yard procedure 7"
status = "shop"

[[exposure]]
row = "e80"
spec = ["A5.5"]
family = ["low-hydrogen"]
strength_ksi = { min = 80, max = 89 }
limit = "2h"
source = "yard procedure 7"
status = "shop"

[[hold]]
row = "hold"
family = ["low-hydrogen"]
min = "250 F"
max = "350 F"
duration = "4h"
resets = true
source = "yard procedure 7"
status = "shop"

[[bake]]
row = "bake"
family = ["low-hydrogen"]
min = "500 F"
max = "800 F"
soak = "2h"
source = "yard procedure 7"
status = "shop"
`

// changed is the sound set with one text in the place of another.
func changed(t *testing.T, old, by string) string {
	t.Helper()
	text := strings.Replace(sound, old, by, 1)
	if text == sound {
		t.Fatalf("the sound set has no %q", old)
	}
	return text
}

func parse(t *testing.T, text string) *rules.Set {
	t.Helper()
	s, err := rules.Parse("yard.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func shipped(t *testing.T, id string) *rules.Set {
	t.Helper()
	s, err := rules.Shipped(id)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// stock is a class that came in a hermetic can.
func stock(t *testing.T, class string) rules.Subject {
	t.Helper()
	mark, err := designation.Parse(class, "")
	if err != nil {
		t.Fatal(err)
	}
	return rules.Subject{Mark: mark, Package: inventory.HermeticCan, Tight: true}
}

func span(t *testing.T, s string) measure.Duration {
	t.Helper()
	d, err := measure.ParseDuration(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}
