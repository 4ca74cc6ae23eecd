//go:build unix

package main

import (
	"os/exec"
	"syscall"
)

// runAs lets a program run as another user.
func runAs(cmd *exec.Cmd, who account) {
	attributes(cmd).Credential = &syscall.Credential{Uid: who.uid, Gid: who.gid}
}

// ownGroup keeps the terminal's interrupt away from a program that check stops
// itself once the tests have ended.
func ownGroup(cmd *exec.Cmd) { attributes(cmd).Setpgid = true }

func attributes(cmd *exec.Cmd) *syscall.SysProcAttr {
	if cmd.SysProcAttr == nil {
		cmd.SysProcAttr = &syscall.SysProcAttr{}
	}
	return cmd.SysProcAttr
}
