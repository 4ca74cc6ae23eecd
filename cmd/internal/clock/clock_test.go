package clock_test

import (
	"strings"
	"testing"
	"time"

	"ovenward/cmd/internal/clock"
	"ovenward/inventory/measure"
)

// TestAStepIsToldOnceWithItsSize: the limit is that of the catalogue of alarms,
// more than 2 s between two looks.
func TestAStepIsToldOnceWithItsSize(t *testing.T) {
	t.Parallel()
	noon := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		name string
		pass time.Duration // between the looks
		step time.Duration
		want string // empty: nothing
		at   time.Duration
	}{
		{"a clock that is right", time.Minute, 0, "", 0},
		{"2 s", time.Minute, 2 * time.Second, "", 0},
		{"3 s", time.Minute, 3 * time.Second, "forward by 3s", time.Minute + 3*time.Second},
		{"3 s back", time.Minute, -3 * time.Second, "back by 3s", time.Microsecond},
		{"an hour", time.Minute, time.Hour, "forward by 1h0m0s", time.Minute + time.Hour},
		{"an hour back", time.Minute, -time.Hour, "back by 1h0m0s", time.Microsecond},
		{"a day", time.Minute, 24 * time.Hour, "forward by 24h0m0s", time.Minute + 24*time.Hour},
		{"a day back", time.Minute, -24 * time.Hour, "back by 24h0m0s", time.Microsecond},
		{"10 s gradually in eight hours", 8 * time.Hour, 10 * time.Second, "", 0},
		{"20 s in eight hours", 8 * time.Hour, 20 * time.Second, "forward by 20s", 8*time.Hour + 20*time.Second},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			wall, ran := noon, time.Duration(0)
			s := clock.New(func() time.Time { return wall }, func() time.Duration { return ran })
			if c, stepped := s.Look(); stepped {
				t.Errorf("the first look: %s", c.What)
			}
			wall, ran = wall.Add(tt.pass+tt.step), ran+tt.pass
			c, stepped := s.Look()
			if stepped != (tt.want != "") || !strings.Contains(c.What, tt.want) {
				t.Errorf("told %q, %t, want %q", c.What, stepped, tt.want)
			}
			if stepped && c.At != measure.At(noon.Add(tt.at)) {
				t.Errorf("at %s, want %s after noon", c.At.Time(), tt.at)
			}
			wall, ran = wall.Add(time.Minute), ran+time.Minute
			if c, stepped := s.Look(); stepped {
				t.Errorf("told again: %s", c.What)
			}
		})
	}
}
