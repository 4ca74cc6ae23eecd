// Package clock notices when the clock of a machine is set.
package clock

import (
	"fmt"
	"sync"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/inventory/measure"
)

// Most is by how much the clock may differ from what has passed since the last
// look; slewing is what else it may by being held right gradually, in parts of
// the time that has passed (500 ppm is the most that NTP's kernel discipline
// does, RFC 5905, section 12).
const (
	Most    = 2 * time.Second
	slewing = 500e-6
)

// Steps compares the clock on the wall with one that nobody can set. Its methods
// may be called by several goroutines.
type Steps struct {
	wall func() time.Time
	runs func() time.Duration

	mu     sync.Mutex
	begun  bool
	shown  time.Time
	passed time.Duration
}

// New returns what compares a wall clock with the time that runs says has passed
// since some moment.
func New(wall func() time.Time, runs func() time.Duration) *Steps {
	return &Steps{wall: wall, runs: runs}
}

// Since returns what has passed since now, by a clock that nobody can set.
func Since() func() time.Duration {
	begun := time.Now()
	return func() time.Duration { return time.Since(begun) }
}

// Look returns what is to be noted when the clock was set since the last look.
func (s *Steps) Look() (c alarm.Check, stepped bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	shows, passed := s.wall().Round(0), s.runs()
	before, elapsed := s.shown, passed-s.passed
	first := !s.begun
	s.begun, s.shown, s.passed = true, shows, passed
	by := shows.Sub(before) - elapsed
	if first || by.Abs() <= Most+time.Duration(slewing*float64(elapsed)) {
		return alarm.Check{}, false
	}
	return step(before, shows, by), true
}

// step words a step. It stands at an instant that the watch has reached: when the
// clock shows the time after it, or, where it went back, right after the last time
// it showed before.
func step(before, shows time.Time, by time.Duration) alarm.Check {
	at, way := measure.At(shows), "forward"
	if by < 0 {
		at, way = measure.At(before)+1, "back"
	}
	return alarm.Check{Kind: alarm.ClockStep, Subject: "clock", At: at, Bad: true, Passing: true,
		What: fmt.Sprintf("the clock of this computer went %s by %s: it was set, or the computer slept",
			way, by.Abs().Round(time.Second))}
}
