package schedule

import (
	"context"
	"fmt"

	"ovenward/inventory/measure"
)

// Job is something that is run once a slot. Slots that were missed are run as
// one, the newest: a job catches up by what it finds recorded, not by how often
// it is called. It is told which slot it runs for and how many were missed.
type Job struct {
	Name string
	// Lane holds up the jobs that are named with it and no other: those of one
	// lane run one after the other, in the order given.
	Lane string
	// Slot returns the newest slot at or before an instant. Nil is a slot every
	// minute.
	Slot SlotFunc
	// Retry is how long after its start a run that failed is tried again; zero
	// is at the next minute.
	Retry measure.Duration
	// Run does the work. Its context ends when the program is to stop.
	Run func(ctx context.Context, due Due) error
}

// SlotFunc returns the newest slot at or before an instant.
type SlotFunc func(ctx context.Context, at measure.Instant) (measure.Instant, error)

// Plain makes the work of a job of what does not ask which slot it runs for.
func Plain(run func(context.Context) error) func(context.Context, Due) error {
	return func(ctx context.Context, _ Due) error { return run(ctx) }
}

// Due is the slot that a job is run for.
type Due struct {
	Slot   measure.Instant
	At     measure.Instant // when the run began
	Last   measure.Instant // the slot that was run before; zero: none
	First  bool            // the job was never run at this site: nothing was missed
	Missed int             // earlier slots that nobody ran, mostMissed at most
}

// mostMissed is as far as missed slots are counted: three weeks of shifts.
const mostMissed = 63

// lateAfter is how long after its slot a run may begin without being late: the
// metronome beats once a minute, and the jobs of a lane wait for each other.
const lateAfter = 2 * measure.Minute

// Late is how long after its slot the run began; zero where it was in time.
func (d Due) Late() measure.Duration {
	if late := d.At.Sub(d.Slot); !d.First && late > lateAfter {
		return late
	}
	return 0
}

// String says in words how late a run is, empty for one in time.
func (d Due) String() string {
	late := d.Late()
	switch {
	case late == 0:
		return ""
	case d.Missed == mostMissed:
		return fmt.Sprintf("late by %s, and %d or more before it were missed", late.Words(), d.Missed)
	case d.Missed > 0:
		return fmt.Sprintf("late by %s, and %d before it missed", late.Words(), d.Missed)
	}
	return "late by " + late.Words()
}

// slot returns the newest slot of a job.
func (j Job) slot(ctx context.Context, at measure.Instant) (measure.Instant, error) {
	if j.Slot == nil {
		return Minutely(ctx, at)
	}
	return j.Slot(ctx, at)
}

// missed counts the slots between the last one that was run and this one.
func (j Job) missed(ctx context.Context, last, slot measure.Instant) (n int, err error) {
	if j.Slot == nil {
		return 0, nil
	}
	for n < mostMissed {
		if slot, err = j.Slot(ctx, slot-1); err != nil || slot <= last {
			return n, err
		}
		n++
	}
	return n, nil
}
