package config_test

import (
	"testing"
	"time"
)

func TestALeaseHasBounds(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]time.Duration{
		"": 15 * time.Second, "[lead]\nlease = \"2s\"": 2 * time.Second, "[lead]\nlease = \"10m\"": 10 * time.Minute,
		"[lead]\nlease = \"999ms\"": 0, "[lead]\nlease = \"11m\"": 0, "[lead]\nlease = \"-15s\"": 0, "[lead]\nlease = \"soon\"": 0,
		"[lead]": 0,
	} {
		c, err := read(t, text)
		if (err == nil) != (want != 0) || (err == nil && c.Lead.Lease != want) {
			t.Errorf("%q: %v, %v, want %v", text, c.Lead.Lease, err, want)
		}
	}
}
