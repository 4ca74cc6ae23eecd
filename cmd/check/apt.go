package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
)

// missing is the error for something that cannot be had without the user.
func missing(what, packages string) error {
	return fmt.Errorf("%s is missing and only root can install it here: run\n"+
		"\tsudo apt-get update && sudo apt-get install -y --no-install-recommends %s\n"+
		"or install it in your system's own way", what, packages)
}

// canInstall reports whether check may install packages by itself.
func canInstall() bool {
	_, err := exec.LookPath("apt-get")
	return err == nil && os.Geteuid() == 0
}

// aptInstall installs Debian packages for what, which was found missing.
func (c *check) aptInstall(ctx context.Context, what string, packages ...string) error {
	if !canInstall() {
		return missing(what, strings.Join(packages, " "))
	}
	fmt.Fprintf(c.out, "%s is missing: installing %s with apt-get\n", what, strings.Join(packages, " "))
	install := []string{"install", "-y", "--no-install-recommends",
		"-o", "Dpkg::Options::=--force-confold"} // keep the settings file that noCluster has written
	for _, args := range [][]string{{"update"}, append(install, packages...)} {
		cmd := c.command(ctx, "apt-get", args...)
		cmd.Env = append(cmd.Environ(), "DEBIAN_FRONTEND=noninteractive")
		if _, err := output(cmd); err != nil {
			return fmt.Errorf("install %s: %w", what, err)
		}
	}
	return nil
}

// needCompiler makes sure of the C compiler that the race detector is linked
// with.
func (c *check) needCompiler(ctx context.Context) error {
	out, err := output(c.command(ctx, "go", "env", "CC"))
	if err != nil {
		return err
	}
	words := strings.Fields(out)
	if len(words) == 0 {
		words = []string{"gcc"}
	}
	if _, err := exec.LookPath(words[0]); err == nil {
		return nil
	}
	return c.aptInstall(ctx, "the C compiler "+words[0]+", which go test -race needs,", "gcc", "libc6-dev")
}
