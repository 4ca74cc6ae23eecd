package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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
	allow, err := noServices()
	if err != nil {
		return err
	}
	defer allow()
	install := []string{"install", "-y", "--no-install-recommends", "--no-remove", // what is here stays
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

// servicePolicy is asked by Debian's packages whether they may start the service
// that they bring; 101 is no.
const servicePolicy = "/usr/sbin/policy-rc.d"

// noServices keeps packages from starting services of their own while they are
// installed, unless the machine's owner has already said what they may.
func noServices() (allow func(), err error) {
	if _, err := os.Stat(servicePolicy); !errors.Is(err, os.ErrNotExist) {
		return func() {}, err
	}
	err = os.WriteFile(servicePolicy, []byte("#!/bin/sh\nexit 101\n"), 0o755)
	return func() { _ = os.Remove(servicePolicy) }, err
}

// needProgram returns the path of a program, which is installed if it is missing.
func (c *check) needProgram(ctx context.Context, name, packages string) (string, error) {
	if path := findProgram(name); path != "" {
		return path, nil
	}
	if err := c.aptInstall(ctx, name, packages); err != nil {
		return "", err
	}
	path := findProgram(name)
	if path == "" {
		return "", fmt.Errorf("%s is installed, but no %s is in PATH or /usr/sbin", packages, name)
	}
	return path, nil
}

// findProgram looks for a program also where those of servers are, which is not in
// everybody's PATH.
func findProgram(name string) string {
	if path, err := exec.LookPath(name); err == nil {
		return path
	}
	if path := filepath.Join("/usr/sbin", name); isProgram(path) {
		return path
	}
	return ""
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
