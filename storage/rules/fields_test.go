package rules_test

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ovenward/storage/rules"
)

// aside is a set in which a row of any kind stands alone: what it speaks of no
// other row does.
const aside = `id = "yard"
title = "Rules of an invented yard"
edition = "1"
unit_system = "US"
valid_from = "2025-01-01"

[bakes]
max = 1

[air]
max_gap = "4h"

`

// whole is one row of each kind with every field of it. Stock words are common
// to all kinds and stand in the exposure row alone.
var whole = map[string]string{
	"exposure": `spec = ["A5.1"]
family = ["low-hydrogen"]
strength_ksi = { min = 70, max = 79 }
moisture_mark = "with"
military = "without"
classes = ["E7018"]
packages = ["hermetic can"]
products = ["Northfield 18"]
limit = "4h"
clock = ""
count_while_bagged = true
authority = "code"
source = "yard procedure 7"
status = "shop"
note = "an example"
follows = "structural-2015-a/e70"
ruling = ""`,
	"hold": `min = "250 F"
max = "350 F"
duration = "4h"
resets = true
cabinet = false`,
	"bake": `min = "500 F"
max = "800 F"
soak = "2h"
soak_max = "4h"
presoak_percent = 50
presoak = "30m"
clock_from = "oven"
ramp_max = "400 F/h"
ramp_over = "10m"
max_layers = 4
max_depth = "2 in"
max_bakes = 3
first_counts = true
max_total = "10h"`,
	"load_lag": `up_to_mass = "20 kg"
up_to_layers = 4
lag = "50m"`,
	"certificate": `kind = "3.1"
actual = true
max_test_age = "12 months"
approvals = ["class society"]`,
	"base_metal": `groups = ["A514"]
seal = "intact"
hydrogen_mark_max = 4
unbaked = false
min = "700 F"
max = "800 F"
soak = "1h"
presoak_percent = 50
presoak = "30m"`,
	"issue_size": `diameters = ["1/8 in"]
rods_per_hour = 9`,
	"service": `services = ["pressure"]
passes = ["root"]
alloys = ["G"]
single_pass = true
why = "the owner's standard"`,
	"quiver": `min = "150 F"
total = "8h"
as_hold = true
on_dip = "open"`,
	"packet": `limit = "12h"`,
	"hopper": `limit = "8h"
drop_top = "25 mm"`,
	"holding_time": `max_days = 10`,
	"shelf_life": `years = 3
months = 0
days = 0
from = "made"`,
	"warm_up": `below = "60 F"
wait = "24h"
cold = "refuse"`,
	"blend": `new_min_percent = 25
recycled_max_percent = 75`,
	"co_storage": `places = ["holding oven"]
with_family = ["cellulosic"]
apart = ""
from = "120 F"
warn = true
why = "moisture moves over"`,
	"loading": `places = ["bake oven"]
max_layers = 4`,
	"first_use": `only_damaged = true`,
	"climate": `min = "60 F"
max = "80 F"
humidity = "60 %"`,
	"column_b": `over = "4h"
max = "9h"
moisture_max = "0.4 %"`,
}

// broken are values that each field must refuse: the unit missing, below zero,
// beyond what there is, a wrong word, a wrong type.
var broken = map[string][]string{
	"exposure.spec":                {`["A5.99"]`, `"A5.1"`},
	"exposure.family":              {`["low hydrogen"]`},
	"exposure.strength_ksi":        {`{ min = 79, max = 70 }`, `{ min = -1 }`, `70`},
	"exposure.moisture_mark":       {`"yes"`, `true`},
	"exposure.military":            {`"M"`},
	"exposure.classes":             {`["e7018"]`, `["E7o18"]`},
	"exposure.packages":            {`["tin"]`},
	"exposure.products":            {`"Northfield 18"`},
	"exposure.limit":               {`"4"`, `4`, `"-4h"`, `"0h"`, `"four hours"`},
	"exposure.clock":               {`"off"`, `"none"`},
	"exposure.count_while_bagged":  {`"no"`, `0`},
	"exposure.authority":           {`"pope"`},
	"exposure.source":              {`" "`, `7`},
	"exposure.status":              {`"sure"`, `""`},
	"exposure.note":                {`7`},
	"exposure.follows":             {`"structural-2015-a/e71"`, `"no-such-set/e70"`, `"x"`},
	"exposure.ruling":              {`7`},
	"hold.min":                     {`"250"`, `250`, `"121 C"`, `"360 F"`, `"7000 F"`, `"hot"`},
	"hold.max":                     {`"350"`, `"249 F"`},
	"hold.duration":                {`"4"`, `"-4h"`, `"0h"`},
	"hold.resets":                  {`"yes"`},
	"hold.cabinet":                 {`"yes"`},
	"bake.min":                     {`"500"`, `"900 F"`, `"260 C"`},
	"bake.max":                     {`"800"`, `"499 F"`, `"8000 F"`},
	"bake.soak":                    {`"2"`, `"0h"`, `"-2h"`},
	"bake.soak_max":                {`"1h"`, `"4"`, `"-1h"`},
	"bake.presoak_percent":         {`0`, `101`, `-1`, `"50"`},
	"bake.presoak":                 {`"0h"`, `"-30m"`, `"30"`},
	"quiver.min":                   {`"150"`, `"65 C"`},
	"quiver.total":                 {`"8"`, `"-8h"`},
	"quiver.as_hold":               {`"yes"`},
	"quiver.on_dip":                {`"cool"`},
	"packet.limit":                 {`"12"`, `"0h"`, `"-12h"`},
	"hopper.limit":                 {`"8"`, `"-8h"`, `8`},
	"hopper.drop_top":              {`"25"`, `"-25 mm"`, `"deep"`},
	"holding_time.max_days":        {`0`, `-1`, `"10"`},
	"shelf_life.years":             {`0`, `-1`, `"3 years"`},
	"shelf_life.months":            {`-1`, `"6 months"`},
	"shelf_life.days":              {`-1`, `"30 days"`},
	"shelf_life.from":              {`"bought"`},
	"warm_up.below":                {`"60"`, `60`, `"15 C"`},
	"warm_up.wait":                 {`"24"`, `"0h"`, `"-24h"`},
	"warm_up.cold":                 {`"ask"`},
	"blend.new_min_percent":        {`-1`, `101`, `"25"`},
	"blend.recycled_max_percent":   {`-1`, `101`, `"75"`},
	"first_use.only_damaged":       {`"yes"`},
	"co_storage.places":            {`["oven"]`, `[]`},
	"co_storage.with_family":       {`["wood"]`},
	"co_storage.apart":             {`"class"`, `"far"`},
	"co_storage.from":              {`"120"`, `"49 C"`},
	"co_storage.warn":              {`"yes"`},
	"co_storage.why":               {`7`},
	"loading.places":               {`["oven"]`, `[]`},
	"loading.max_layers":           {`0`, `-4`, `"four"`},
	"climate.min":                  {`"60"`, `"15 C"`, `"90 F"`},
	"climate.max":                  {`"80"`, `"50 F"`},
	"climate.humidity":             {`"60"`, `"0 %"`, `"101 %"`},
	"bake.clock_from":              {`"air"`},
	"bake.ramp_max":                {`"400"`, `"200 C/h"`},
	"bake.ramp_over":               {`"10"`},
	"bake.max_layers":              {`-4`, `"four"`},
	"bake.max_depth":               {`"2"`},
	"bake.max_bakes":               {`-1`, `"three"`},
	"bake.first_counts":            {`"yes"`},
	"bake.max_total":               {`"10"`},
	"load_lag.up_to_mass":          {`"20"`, `"-20 kg"`},
	"load_lag.up_to_layers":        {`-4`, `"four"`},
	"load_lag.lag":                 {`"50"`, `"-50m"`},
	"certificate.kind":             {`"3.3"`},
	"certificate.actual":           {`"yes"`},
	"certificate.max_test_age":     {`"12"`, `"old"`},
	"certificate.approvals":        {`"class society"`},
	"base_metal.groups":            {`[]`, `"A514"`},
	"base_metal.seal":              {`"whole"`},
	"base_metal.hydrogen_mark_max": {`"H4"`},
	"base_metal.unbaked":           {`true`, `"yes"`},
	"base_metal.min":               {`"700"`, `"370 C"`, `"900 F"`},
	"base_metal.max":               {`"800"`, `"699 F"`},
	"base_metal.soak":              {`"1"`, `"0h"`},
	"base_metal.presoak_percent":   {`0`, `101`, `"50"`},
	"base_metal.presoak":           {`"0h"`, `"30"`},
	"issue_size.diameters":         {`["1/8"]`},
	"issue_size.rods_per_hour":     {`0`, `"nine"`},
	"service.services":             {`[]`, `"pressure"`},
	"service.passes":               {`"root"`},
	"service.alloys":               {`"G"`},
	"service.single_pass":          {`"yes"`},
	"service.why":                  {`""`, `7`},
	"column_b.over":                {`"4"`, `"0h"`, `"9h"`},
	"column_b.max":                 {`"9"`, `"4h"`, `"-9h"`},
	"column_b.moisture_max":        {`"0.4"`, `"-0.4 %"`},
}

// common are the fields that rows of all kinds have; they are broken in the
// exposure row alone.
func common() map[string]bool {
	out := map[string]bool{}
	for _, part := range []any{rules.Meta{}, rules.Match{}} {
		for _, f := range tags(reflect.TypeOf(part)) {
			out[f] = true
		}
	}
	return out
}

// tags returns the names of a row's own fields in a file.
func tags(t reflect.Type) (out []string) {
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("toml"); name != "" && name != "-" && !t.Field(i).Anonymous {
			out = append(out, name)
		}
	}
	return out
}

// kinds returns the fields of every kind of row of a set.
func kindsOfRow() map[string][]string {
	out, shared := map[string][]string{}, common()
	set := reflect.TypeOf(rules.Set{})
	for i := range set.NumField() {
		f := set.Field(i)
		if f.Type.Kind() != reflect.Slice || f.Type.Elem().Kind() != reflect.Struct {
			continue
		}
		kind := f.Tag.Get("toml")
		out[kind] = tags(f.Type.Elem())
		if kind == "exposure" {
			out[kind] = append(out[kind], slices.Sorted(maps.Keys(shared))...)
		}
	}
	return out
}

// rowOf is a set with one row of a kind, whose fields are those of whole with
// one changed; it returns the lines of the row's name and of the field.
func rowOf(kind, field, value string) (text string, name, line int) {
	b := aside + "[[" + kind + "]]\nrow = \"r\"\n"
	name = strings.Count(b, "\n")
	if kind != "exposure" {
		b += "source = \"yard procedure 7\"\nstatus = \"shop\"\n"
	}
	for l := range strings.Lines(whole[kind] + "\n") {
		if key, _, _ := strings.Cut(l, " ="); key == field {
			l = field + " = " + value + "\n"
			line = strings.Count(b, "\n") + 1
		}
		b += l
	}
	return b, name, line
}

func TestWholeRowsAreSound(t *testing.T) {
	t.Parallel()
	for kind := range kindsOfRow() {
		if _, there := whole[kind]; !there {
			t.Errorf("kind %s: no whole row; add one with every field to the table whole", kind)
			continue
		}
		text, _, _ := rowOf(kind, "", "")
		if _, err := rules.Parse("yard.toml", []byte(text)); err != nil {
			t.Errorf("kind %s: %v", kind, err)
		}
	}
}

// Each field of each kind of row, broken once in every way, is refused by file,
// line, row and field, and no set comes back.
func TestEveryFieldOfEveryKindOfRowIsChecked(t *testing.T) {
	t.Parallel()
	for kind, fields := range kindsOfRow() {
		for _, field := range fields {
			if field == "row" {
				continue // a row without a name is a case of its own
			}
			values := broken[kind+"."+field]
			if len(values) == 0 {
				t.Errorf("%s.%s: no broken value; add some to the table broken", kind, field)
			}
			for _, v := range values {
				text, name, line := rowOf(kind, field, v)
				if line == 0 {
					t.Errorf("%s.%s does not stand in the whole row", kind, field)
					break
				}
				set, err := rules.Parse("yard.toml", []byte(text))
				if err == nil || set != nil {
					t.Errorf("%s.%s = %s is taken", kind, field, v)
					continue
				}
				if !tells(err, field, name, line) {
					t.Errorf("%s.%s = %s: no line that names yard.toml:%d or :%d, row r and %s:\n%v", kind, field, v, name, line, field, err)
				}
			}
		}
	}
}

// tells reports whether one line of an error names the place and the field.
func tells(err error, field string, lines ...int) bool {
	for l := range strings.Lines(err.Error()) {
		for _, n := range lines {
			if strings.HasPrefix(l, fmt.Sprintf("yard.toml:%d, row r: ", n)) && strings.Contains(l, field) {
				return true
			}
		}
	}
	return false
}
