package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const module = "ovenward"

// layers are the rooms of the house from the ground up: a package imports those
// of its own line or of an earlier one. The longest matching prefix counts.
var layers = []string{
	"inventory/measure",
	"inventory/designation",
	"inventory",
	"storage",
	"forecast",
	"alerts",
	"cmd",
}

// pkg is what go list tells of a package.
type pkg struct {
	ImportPath string
	Dir        string
	Standard   bool
	Imports    []string
	GoFiles    []string
}

func (p pkg) name() string { return strings.TrimPrefix(p.ImportPath, module+"/") }

// own returns the names of the imports that belong to the module.
func (p pkg) own() []string {
	var own []string
	for _, i := range p.Imports {
		if name, ok := strings.CutPrefix(i, module+"/"); ok {
			own = append(own, name)
		}
	}
	return own
}

func TestImportsPointOneWay(t *testing.T) {
	t.Parallel()
	for _, p := range listed(t) {
		for _, v := range importFaults(p) {
			t.Error(v)
		}
	}
}

func TestImportRulesBite(t *testing.T) {
	t.Parallel()
	bad := []pkg{
		{ImportPath: "ovenward/inventory/measure", Imports: []string{"time", "github.com/x/y"}},
		{ImportPath: "ovenward/inventory/measure", Imports: []string{"ovenward/inventory"}},
		{ImportPath: "ovenward/inventory/designation", Imports: []string{"ovenward/inventory/ledger"}},
		{ImportPath: "ovenward/storage/rules", Imports: []string{"ovenward/forecast/joint"}},
		{ImportPath: "ovenward/alerts/alarm", Imports: []string{"ovenward/cmd/internal/app"}},
		{ImportPath: "ovenward/storage/ovendb", Imports: []string{"ovenward/inventory/stockdb"}},
		{ImportPath: "ovenward/storage/exposure", Imports: []string{"ovenward/inventory/stockdb"}},
		{ImportPath: "ovenward/storage/exposure", Imports: []string{"database/sql"}},
		{ImportPath: "ovenward/inventory", Imports: []string{"ovenward/migrations/db"}},
		{ImportPath: "ovenward/forecast/demand", Imports: []string{"os"}},
		{ImportPath: "ovenward/storage/feed", Imports: []string{"net/http"}},
		{ImportPath: "ovenward/migrations/db", Imports: []string{"ovenward/inventory/measure"}},
		{ImportPath: "ovenward/helpers"},
	}
	for _, p := range bad {
		if len(importFaults(p)) == 0 {
			t.Errorf("%s may import %q", p.ImportPath, p.Imports)
		}
	}
	good := []pkg{
		{ImportPath: "ovenward/inventory/measure", Imports: []string{"fmt", "time"}},
		{ImportPath: "ovenward/inventory", Imports: []string{"ovenward/inventory/measure", "ovenward/inventory/designation"}},
		{ImportPath: "ovenward/storage/ovendb", Imports: []string{"database/sql", "ovenward/migrations/db", "ovenward/inventory/measure"}},
		{ImportPath: "ovenward/alerts/channel", Imports: []string{"net/http"}},
		{ImportPath: "ovenward/cmd/internal/app", Imports: []string{"os", "ovenward/inventory/stockdb", "ovenward/alerts/alarmdb"}},
	}
	for _, p := range good {
		if diff := cmp.Diff([]string(nil), importFaults(p)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", p.ImportPath, diff)
		}
	}
}

// importFaults returns what is wrong with the imports of a package.
func importFaults(p pkg) (faults []string) {
	say := func(format string, a ...any) {
		faults = append(faults, p.ImportPath+" "+fmt.Sprintf(format, a...))
	}
	level := layer(p.name())
	if level < 0 && !isMigrations(p.name()) {
		say("is in none of the rooms %q and migrations", layers)
	}
	for _, i := range p.own() {
		switch {
		case isMigrations(i):
		case isMigrations(p.name()):
			say("imports %s: migrations know nothing of the trade", i)
		case layer(i) > level:
			say("imports %s, which comes after it", i)
		}
		if isStore(i) && isStore(p.name()) {
			say("imports %s: stores do not know each other, cmd/internal/app joins them", i)
		}
	}
	if layers[max(level, 0)] == "inventory/measure" && level == 0 {
		for _, i := range p.Imports {
			if strings.Contains(strings.SplitN(i, "/", 2)[0], ".") {
				say("imports %s, want the standard library alone", i)
			}
		}
	}
	if isPure(p.name()) {
		for _, i := range p.Imports {
			if impure(i) {
				say("imports %s, but judges: no SQL, network or files", i)
			}
		}
	}
	return faults
}

// layer returns the line of layers that a package stands on, or -1.
func layer(name string) int {
	return slices.IndexFunc(layers, func(l string) bool { return name == l || strings.HasPrefix(name, l+"/") })
}

func isMigrations(name string) bool {
	return name == "migrations" || strings.HasPrefix(name, "migrations/")
}

// isStore reports whether a package is one of those with SQL.
func isStore(name string) bool { return strings.HasSuffix(name, "db") && !isMigrations(name) }

// outside are the packages beside the stores that talk to the world.
var outside = []string{"alerts/channel", "alerts/channel/channeltest"}

// isPure reports whether a package may only compute.
func isPure(name string) bool {
	l := layer(name)
	return l >= 0 && layers[l] != "cmd" && !isStore(name) && !slices.Contains(outside, name)
}

// impure reports whether importing a package gives up purity.
func impure(i string) bool {
	switch i {
	case "database/sql", "github.com/jmoiron/sqlx", "github.com/lib/pq", "modernc.org/sqlite",
		"net", "net/http", "net/smtp", "os", "os/exec", "os/signal", "syscall", "io/ioutil", "log", "log/slog":
		return true
	}
	name, own := strings.CutPrefix(i, module+"/")
	return own && (isMigrations(name) || isStore(name) || slices.Contains(outside, name))
}

// listed returns the module's packages and all that they are made of, less the
// standard library and other modules.
func listed(t *testing.T) []pkg {
	t.Helper()
	list := exec.CommandContext(t.Context(), "go", "list", "-deps", "-json=ImportPath,Dir,Standard,Imports,GoFiles", module+"/...")
	out, err := output(list)
	if err != nil {
		t.Fatal(err)
	}
	var own []pkg
	for d := json.NewDecoder(strings.NewReader(out)); ; {
		var p pkg
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if !p.Standard && path.Dir(p.ImportPath) != "." && strings.HasPrefix(p.ImportPath, module+"/") {
			own = append(own, p)
		}
	}
	if len(own) < 10 {
		t.Fatalf("go list found %d packages of %s: nothing was checked", len(own), module)
	}
	return own
}
