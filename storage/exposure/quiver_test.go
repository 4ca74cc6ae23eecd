package exposure_test

import (
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// The company specification gives eight hours only to rods that are always in
// the hot portable oven.
func TestCreditIsOnlyForRodsAlwaysInTheQuiver(t *testing.T) {
	t.Parallel()
	r := ruling(t, "example-company", "E7018", "packet.limit", "12h")
	shop := newOvens().read(h1, "05:00", "07:00", "30m", "130 C").read(q1, "06:00", "22:00", "30m", "66 C")
	open := can().closed("06:00", bench).in("06:30", bench).out("07:00", q1)
	expect(t, shop.judge(r, open, "08:00"), want{verdict: inventory.Out, most: "1:30", due: "10:30"})
	packed := fromOven().out("07:00", q1).out("09:00", inbox).out("10:00", q1)
	expect(t, shop.judge(r, packed, "10:30"), want{verdict: inventory.Out, most: "2:50", due: "11:40"})
}

func TestAHoldGivesTheCreditBack(t *testing.T) {
	t.Parallel()
	r := ruling(t, "example-company", "E7018")
	shop := steady()
	rods := fromOven().out("07:00", loose).out("07:10", q1).back("08:00", h1).out("12:00", q1)
	expect(t, shop.judge(r, rods, "18:00"), want{verdict: inventory.Out, most: "0:00", due: "20:00"})
}

// Four hours are seven in the packet, so that a minute there is no whole number
// of microseconds of exposure.
func TestPacketTimeIsExactHoweverItIsCut(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018", "packet.limit", "7h")
	rods := can().closed("06:00", bench).in("07:00", inbox)
	for _, when := range []string{"07:01", "07:02", "07:04", "08:17", "11:11"} {
		rods.h.Events = append(rods.h.Events, inventory.Event{At: clock(when), Kind: inventory.Decided})
	}
	for _, when := range []string{"07:00:01", "07:03", "12:35", "13:59"} {
		expect(t, newOvens().judge(r, rods, when), want{verdict: inventory.Out, due: "14:00", warn: "12:36"})
	}
	expect(t, newOvens().judge(r, rods, "14:00"), want{most: "4:00", due: "14:00", warn: "12:36"})

	minute := newOvens().judge(r, rods, "07:01").Most
	if want := measure.Duration(34_285_715); minute != want { // 60 s * 4/7, rounded up
		t.Errorf("a minute in the packet counts %d µs, want %d", minute, want)
	}
	held := can().closed("06:00", bench).in("07:00", inbox).in("07:01", h1).in("12:00", inbox)
	if again := steady().judge(r, held, "12:01").Most; again != minute {
		t.Errorf("after a hold a minute counts %d µs, before it %d", again, minute)
	}
}

func TestPacketLimitOfNearlyNothingIsOverAtOnce(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	r.Packet = &rules.PacketRow{Limit: 1}
	rods := can().closed("2024-01-01 06:00", bench).in("2024-01-01 07:00", inbox)
	expect(t, newOvens().judge(r, rods, "2025-01-01 07:00"), want{verdict: inventory.Bake})
}
