package lead

import (
	"os"

	"ovenward/alerts/alarmdb"
)

// myself says which process this is.
func myself() alarmdb.Lead {
	host, err := os.Hostname()
	if err != nil || host == "" {
		host = "this machine"
	}
	return alarmdb.Lead{Host: host, Process: int64(os.Getpid())}
}

// gone reports whether the process that leads ran on this machine and is no more.
func gone(me, other alarmdb.Lead) bool {
	return other.Host == me.Host && (other.Process == me.Process || !runs(int(other.Process)))
}
