package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// lintVersion is pinned: a new linter finds new things, and they should come
// with a commit that names them.
const (
	lintVersion = "v2.15.0"
	lintModule  = "github.com/golangci/golangci-lint/v2/cmd/golangci-lint"
)

func (c *check) format(ctx context.Context) error {
	out, err := output(c.command(ctx, "gofmt", "-l", "."))
	if err != nil {
		return err
	}
	if out != "" {
		return fmt.Errorf("these files are not formatted, run gofmt -w on them:\n%s", strings.TrimSpace(out))
	}
	return nil
}

func (c *check) vet(ctx context.Context) error {
	return c.show(c.command(ctx, "go", "vet", "./..."))
}

func (c *check) lint(ctx context.Context) error {
	linter, err := c.needLinter(ctx)
	if err != nil {
		return err
	}
	return c.show(c.command(ctx, linter, "run", "./..."))
}

// needLinter returns the path of the pinned linter, which it builds the first
// time and keeps in the user's cache.
func (c *check) needLinter(ctx context.Context) (string, error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("no place for the linter: %w", err)
	}
	folder := filepath.Join(cache, "ovenward-check", lintVersion)
	linter := filepath.Join(folder, "golangci-lint")
	if _, err := os.Stat(linter); err == nil {
		return linter, nil
	} else if !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	fmt.Fprintf(c.out, "building golangci-lint %s into %s, once, for 1 to 3 minutes\n", lintVersion, folder)
	cmd := c.command(ctx, "go", "install", lintModule+"@"+lintVersion)
	cmd.Env = append(cmd.Environ(), "GOBIN="+folder, "GOFLAGS=")
	if _, err := output(cmd); err != nil {
		return "", fmt.Errorf("golangci-lint is missing and cannot be built; with the network up, run\n"+
			"\tGOBIN=%s go install %s@%s\n%w", folder, lintModule, lintVersion, err)
	}
	return linter, nil
}
