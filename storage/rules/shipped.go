package rules

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"

	"ovenward/inventory"
)

//go:embed sets/*.toml
var sets embed.FS

// Shipped returns a rule set that comes with the program. The error is a
// *inventory.Refusal that lists them.
func Shipped(id string) (*Set, error) {
	text, err := sets.ReadFile("sets/" + id + ".toml")
	if err != nil {
		return nil, &inventory.Refusal{Code: inventory.Unknown, Subject: id, Value: id,
			Why:  "no such shipped rule set",
			Next: "use one of: " + strings.Join(ShippedIDs(), ", ") + "; or the path of a file"}
	}
	return Parse(id+".toml", text)
}

// ShippedIDs lists the rule sets that come with the program.
func ShippedIDs() []string {
	files, err := fs.Glob(sets, "sets/*.toml")
	if err != nil {
		panic(fmt.Sprintf("embedded rule sets: %v", err))
	}
	for i, f := range files {
		files[i] = strings.TrimSuffix(strings.TrimPrefix(f, "sets/"), ".toml")
	}
	return files
}
