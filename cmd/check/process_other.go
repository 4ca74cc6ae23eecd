//go:build !unix

package main

import "os/exec"

// runAs is never called where no user has the number 0.
func runAs(*exec.Cmd, account) {}

// ownGroup does nothing where a terminal has no process groups.
func ownGroup(*exec.Cmd) {}
