package lead

import "time"

// On lets a test have programs on several machines.
func (l *Lead) On(host string, process int64) *Lead {
	l.me.Host, l.me.Process = host, process
	return l
}

// LayDown lets a test end the lead as the end of Keep does.
var LayDown = (*Lead).layDown

// SetLease lets a test go on with another lease.
func SetLease(l *Lead, lease time.Duration) { l.lease = lease }
