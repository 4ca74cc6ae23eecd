package main

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// benches are the measurements that compare with public tools in the same run.
func benches() map[string]func(*check, context.Context) error {
	return map[string]func(*check, context.Context) error{
		"import": (*check).benchImport,
		"plan":   (*check).benchPlan,
	}
}

// bench runs the named measurement and returns the exit status: 1 where it asks
// for more than was measured, 2 for an unknown name.
func (c *check) bench(ctx context.Context, args []string, stderr io.Writer) int {
	all := benches()
	if len(args) != 1 || all[args[0]] == nil {
		names := slices.Sorted(maps.Keys(all))
		fmt.Fprintf(stderr, "check: bench %s: want %s\n", strings.Join(args, " "), strings.Join(names, ", "))
		return 2
	}
	if err := all[args[0]](c, ctx); err != nil {
		fmt.Fprintf(stderr, "check: %v\n", err)
		return 1
	}
	return 0
}
