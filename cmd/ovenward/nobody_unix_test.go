//go:build unix

package main

import (
	"fmt"
	"os"
	"syscall"
)

// becomeNobody gives up the rights of root, whom no file mode stops.
func becomeNobody() {
	const nobody = 65534
	if os.Geteuid() != 0 {
		return
	}
	if err := syscall.Setgid(nobody); err == nil {
		err = syscall.Setuid(nobody)
		if err == nil {
			return
		}
	}
	fmt.Fprintln(os.Stderr, "cannot give up the rights of root")
	os.Exit(exitFailed)
}
