package exposure_test

import (
	"testing"

	"ovenward/inventory"
)

// The expected values follow from the reference rules for replays: a running
// clock is pending during a hold, a hold that breaks counts with all its
// minutes, and only four hours without a break set it to zero.

func TestHoldInProgressIsPendingAndCountsWhenItBreaks(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("08:00", h1)
	expect(t, steady().judge(r, rods, "08:00"),
		want{verdict: inventory.Hold, most: "1:00", hold: "0:00", ready: "12:00"})
	expect(t, steady().judge(r, rods, "10:00"),
		want{verdict: inventory.Hold, most: "1:00", hold: "2:00", ready: "12:00"})
	rods.in("10:00", bench)
	expect(t, steady().judge(r, rods, "10:00"),
		want{verdict: inventory.Out, most: "3:00", hold: "0:00", ready: "never", due: "11:00"})
	rods.in("10:10", h1)
	expect(t, steady().judge(r, rods, "11:00"),
		want{verdict: inventory.Hold, most: "3:10", hold: "0:50", ready: "14:10"})
}

func TestMovingFromOvenToOvenBreaksNoHold(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("08:00", h1).in("10:00", h2)
	expect(t, steady().judge(r, rods, "12:00"), want{verdict: inventory.Ready, most: "0:00", held: "12:00"})
}

func TestDipInTheOvenBreaksTheHold(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "06:00", "09:00", "30m", "130 C").once(h1, "09:10", "119 C").
		read(h1, "09:20", "16:00", "20m", "130 C")
	rods := fromOven().out("07:00", loose).back("08:00", h1)
	// cold from 09:00 to 09:20, between the readings around the low one
	expect(t, shop.judge(r, rods, "09:00"), want{verdict: inventory.Out, most: "2:00"})
	expect(t, shop.judge(r, rods, "09:20"), want{verdict: inventory.Hold, most: "2:20", ready: "13:20"})
}

func TestNoHoldBeginsAtOrOverTheLimit(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("11:00", h1)
	expect(t, steady().judge(r, rods, "16:00"),
		want{verdict: inventory.Bake, most: "9:00", hold: "0:00", ready: "never"})
}

func TestOpenedStraightIntoAProvenOvenIsReady(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := can().closed("06:00", bench).in("06:30", h1)
	expect(t, steady().judge(r, rods, "06:30"), want{verdict: inventory.Ready, most: "0:00"})
	expect(t, steady().judge(r, rods, "20:00"), want{verdict: inventory.Ready, most: "0:00"})
}

func TestColdOvenCountsForRodsThatNeverLeftIt(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "06:00", "08:00", "30m", "130 C").read(h1, "08:30", "09:30", "30m", "110 C").
		read(h1, "10:00", "16:00", "30m", "130 C")
	rods := can().closed("06:00", bench).in("06:30", h1)
	expect(t, shop.judge(r, rods, "09:00"), want{verdict: inventory.Out, most: "1:00", due: "12:00"})
	expect(t, shop.judge(r, rods, "10:00"), want{verdict: inventory.Hold, most: "2:00", ready: "14:00"})
}

func TestReturnOwesAHoldEvenAtZero(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", q1).back("13:30", h1)
	expect(t, steady().judge(r, rods, "13:00"), want{verdict: inventory.Out, most: "0:00"})
	expect(t, steady().judge(r, rods, "13:30"), want{verdict: inventory.Hold, most: "0:00", ready: "17:30"})
	expect(t, steady().judge(r, rods, "17:29"), want{verdict: inventory.Hold, most: "0:00", hold: "3:59"})
	expect(t, steady().judge(r, rods, "17:30"), want{verdict: inventory.Ready, most: "0:00"})
	rods.in("17:30", bench)
	expect(t, steady().judge(r, rods, "18:00"), want{verdict: inventory.Out, most: "0:30"})
}

// A hold owed for rods whose clock never started has no minutes to count.
func TestBrokenHoldOfAClockThatNeverStartedCountsNothing(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", q1).back("09:00", h1).out("11:00", loose)
	expect(t, steady().judge(r, rods, "11:10"), want{verdict: inventory.Out, most: "0:10"})
}

func TestHoldIsCountedFromTheReturnButItsQuiverMinutesStayAtStake(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).out("08:00", q1).back("10:00", h1)
	expect(t, steady().judge(r, rods, "10:00"), want{verdict: inventory.Hold, most: "1:00", ready: "14:00"})
	broken := fromOven().out("07:00", loose).out("08:00", q1).back("10:00", h1).out("10:30", loose)
	expect(t, steady().judge(r, broken, "10:30"), want{verdict: inventory.Out, most: "3:30"})
	expect(t, steady().judge(r, rods, "14:00"), want{verdict: inventory.Ready, most: "0:00"})
}

func TestHoldThatDoesNotResetLeavesTheExposure(t *testing.T) {
	t.Parallel()
	r := edited(t, "reference-running", "E7018", "resets = true", "resets = false")
	rods := fromOven().out("07:00", loose).back("08:00", h1)
	expect(t, steady().judge(r, rods, "13:00"), want{verdict: inventory.Ready, most: "1:00", held: "12:00"})
	rods.out("13:00", loose)
	expect(t, steady().judge(r, rods, "14:00"), want{verdict: inventory.Out, most: "2:00", due: "16:00"})
}

func TestQuiverInTheCribIsAHoldingOvenWhereTheRowSaysSo(t *testing.T) {
	t.Parallel()
	rods := can().closed("06:00", bench).in("06:30", q1)
	expect(t, steady().judge(ruling(t, "reference-running", "E7018"), rods, "08:00"),
		want{verdict: inventory.Ready, most: "0:00"})
	expect(t, steady().judge(ruling(t, structural, "E7018"), rods, "08:00"),
		want{verdict: inventory.Out, most: "1:30"})
}

// A row may do both: a holding oven at hold temperature, credit of its own
// below it.
func TestQuiverThatHoldsAndGivesCreditByItsTemperature(t *testing.T) {
	t.Parallel()
	r := edited(t, "reference-portable", "E7018", `min = "65 C"`, "min = \"65 C\"\nas_hold = true")
	shop := newOvens().read(h1, "06:00", "07:00", "30m", "130 C").read(q1, "06:00", "09:00", "30m", "130 C").
		read(q1, "09:30", "11:00", "30m", "70 C").read(q1, "11:30", "13:00", "30m", "60 C")
	rods := fromOven().out("07:00", q1)
	for when, w := range map[string]struct{ most, portable string }{
		"09:00": {"0:00", "0:00"}, "11:00": {"0:00", "2:00"}, "12:00": {"1:00", "2:00"},
	} {
		got := shop.judge(r, rods, when)
		expect(t, got, want{verdict: inventory.Out, most: w.most})
		if got.Portable != span(w.portable) {
			t.Errorf("at %s: Portable = %s, want %s", when, got.Portable, w.portable)
		}
	}
}

func TestReturnOwesAHoldAlsoOfRodsThatWereHeldBefore(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("08:00", h1).out("13:00", q1).back("14:00", h1)
	expect(t, steady().judge(r, rods, "13:30"), want{verdict: inventory.Out, most: "0:00"})
	expect(t, steady().judge(r, rods, "14:00"),
		want{verdict: inventory.Hold, most: "0:00", ready: "18:00", held: "never"})
}

func TestPortableTimeEndsTheRestOfAHold(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-portable", "E7018")
	rods := fromOven().out("07:00", loose).back("08:00", h1).in("13:00", q1).in("14:00", h1)
	expect(t, steady().judge(r, rods, "14:30"), want{verdict: inventory.Hold, most: "0:00", ready: "18:00"})
}

// Moves are written down to the minute: out and back in the same one is no
// exposure, and no hold is owed for it.
func TestAMoveWithoutLengthOwesNothing(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("08:00", h1).in("13:00", bench).in("13:00", h2)
	expect(t, steady().judge(r, rods, "13:00"), want{verdict: inventory.Ready, most: "0:00"})
	company := ruling(t, "example-company", "E7018")
	quiver := fromOven().out("07:00", q1).out("08:00", loose).out("08:00", q1)
	expect(t, steady().judge(company, quiver, "09:00"), want{verdict: inventory.Out, most: "0:00", due: "15:00"})
}

func TestReadyIsTheLaterOfBothFolds(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "08:00", "14:00", "30m", "130 C")
	rods := can().closed("06:00", bench).in("07:00", loose).in("07:30", h1)
	expect(t, shop.judge(r, rods, "09:00"),
		want{verdict: inventory.Hold, most: "1:00", least: "0:30", hold: "1:00", ready: "12:00"})
}

// Stock that is waiting for a bake does not start its clock in a hot oven.
func TestClockOfRodsThatMustBeBakedDoesNotStartInAHotOven(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	expect(t, steady().judge(r, carton().closed("06:00", bench).in("06:30", h1), "12:00"),
		want{verdict: inventory.Bake, most: "0:00"})
}
