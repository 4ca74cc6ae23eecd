//go:build unix

package lead

import (
	"errors"
	"syscall"
)

// runs reports whether there is such a process.
func runs(process int) bool { return !errors.Is(syscall.Kill(process, 0), syscall.ESRCH) }
