//go:build unix

package main

import (
	"os/exec"
	"syscall"
	"time"
)

// runAs lets a program run as another user.
func runAs(cmd *exec.Cmd, who account) {
	// The group also among the further ones, where the mail server looks for it.
	attributes(cmd).Credential = &syscall.Credential{Uid: who.uid, Gid: who.gid, Groups: []uint32{who.gid}}
}

// ownGroup keeps the terminal's interrupt away from a program and its children:
// check stops them itself, and the server only when the tests have ended.
func ownGroup(cmd *exec.Cmd) { attributes(cmd).Setpgid = true }

// interrupt tells a program that has its own group, and its children, to end.
func interrupt(cmd *exec.Cmd) error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGINT) }

func attributes(cmd *exec.Cmd) *syscall.SysProcAttr {
	if cmd.SysProcAttr == nil {
		cmd.SysProcAttr = &syscall.SysProcAttr{}
	}
	return cmd.SysProcAttr
}

// processorTime is how long the processors worked for this program.
func processorTime() time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		return 0
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
