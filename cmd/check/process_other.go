//go:build !unix

package main

import (
	"os"
	"os/exec"
	"time"
)

// runAs is never called where no user has the number 0.
func runAs(*exec.Cmd, account) {}

// ownGroup does nothing where a terminal has no process groups.
func ownGroup(*exec.Cmd) {}

// interrupt tells a program to end.
func interrupt(cmd *exec.Cmd) error { return cmd.Process.Signal(os.Interrupt) }

// processorTime is not known here.
func processorTime() time.Duration { return 0 }
