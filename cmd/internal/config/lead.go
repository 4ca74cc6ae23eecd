package config

import (
	"time"

	"ovenward/cmd/internal/lead"
)

// Lead is how several programs that watch a site share the work.
type Lead struct {
	Lease time.Duration // after so long without a sign of life another leads
}

type writtenLead struct {
	Lease string `toml:"lease"`
}

// The shortest lease leaves room for a slow disk, the longest does not leave a
// shop without a watch for a shift.
const (
	shortestLease = time.Second
	longestLease  = 10 * time.Minute
)

func (r reader) lead(w *writtenLead) (Lead, error) {
	if w == nil {
		return Lead{lead.Lease}, nil
	}
	d, err := time.ParseDuration(w.Lease)
	if err != nil || d < shortestLease || d > longestLease {
		return Lead{}, r.fault("lease", "%q: from %s to %s, such as 15s", w.Lease, shortestLease, longestLease)
	}
	return Lead{d}, nil
}
