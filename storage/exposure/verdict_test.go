package exposure_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/storage/exposure"
)

func TestStockWithoutAClock(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7024")
	cases := []struct {
		name string
		rods *rods
		want inventory.Verdict
	}{
		{"closed", can().closed("06:00", bench), inventory.Sealed},
		{"opened", can().closed("06:00", bench).in("07:00", bench), inventory.Ready},
		{"in a cold oven", can().in("07:00", h1), inventory.Ready},
		{"out", can().in("06:00", bench).out("07:00", loose), inventory.Out},
		{"wet", can().in("06:00", bench).wet("07:00"), inventory.Discard},
		{"discarded", can().in("06:00", bench).decided("07:00", "discard"), inventory.Discard},
	}
	for _, c := range cases {
		got := newOvens().judge(r, c.rods, "12:00")
		if got.Verdict != c.want || got.Most != 0 || got.Limit != 0 || got.Due != 0 {
			t.Errorf("%s: %s, exposed %s of %s, want %s without a clock",
				c.name, got.Verdict, got.Most, got.Limit, c.want)
		}
	}
}

func TestWetComesBeforeEverything(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("12:00", h1).wet("12:30").decided("13:00", "release")
	// a release settles the clock; it makes no wet rod dry
	expect(t, steady().judge(r, rods, "14:00"), want{verdict: inventory.Discard, most: "0:00"})
}

func TestDecisions(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	back := func() *rods { return fromOven().out("07:00", loose).back("08:00", h1) }
	cases := []struct {
		disposition string
		want        want
	}{
		{"release", want{verdict: inventory.Ready, most: "0:00", ready: "never"}},
		{"bake", want{verdict: inventory.Bake}},
		{"discard", want{verdict: inventory.Discard}},
	}
	for _, c := range cases {
		expect(t, steady().judge(r, back().decided("09:00", c.disposition), "09:00"), c.want)
	}
	// rods that are to be baked hold no more: the clock runs on
	expect(t, steady().judge(r, back().decided("09:00", "bake"), "10:00"),
		want{verdict: inventory.Bake, most: "3:00"})
}

func TestMoreBakesThanAllowedAreDiscarded(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	r := ruling(t, "reference-running", "E7018", "bake.max", "0")
	expect(t, shop.judge(r, baked(), "2025-05-05 10:00"), want{verdict: inventory.Discard})
}

func TestFirstBakeThatIsNotAllowedIsDiscarded(t *testing.T) {
	t.Parallel()
	rods := carton().closed("06:00", bench)
	counts := ruling(t, "reference-running", "E7018", "bake.max", "0")
	expect(t, newOvens().judge(counts, rods, "07:00"), want{verdict: inventory.Discard})
	free := ruling(t, "reference-running", "E7018", "bake.max", "0", "first_bake.counts", "false")
	expect(t, newOvens().judge(free, rods, "07:00"), want{verdict: inventory.Bake})
}

// What is owed is said apart from the verdict, which may come from something
// else.
func TestJudgementSaysWhatIsOwed(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-summed", "E7018")
	cases := []struct {
		name                 string
		rods                 *rods
		wet, firstBake, owed bool
	}{
		{"from the oven", fromOven(), false, false, false},
		{"back", fromOven().out("07:00", loose).back("08:00", h1), false, false, true},
		{"out again", fromOven().out("07:00", loose).back("08:00", h1).out("09:00", loose), false, false, true},
		{"back and held", can().in("04:00", h1).out("05:00", loose).back("05:30", h1), false, false, false},
		{"from a carton", carton().closed("06:00", bench), false, true, false},
		{"wet", fromOven().wet("07:00"), true, false, false},
	}
	for _, c := range cases {
		got := steady().judge(r, c.rods, "10:00")
		if got.Wet != c.wet || got.FirstBake != c.firstBake || got.Owed != c.owed {
			t.Errorf("%s: wet %v, first bake %v, owed %v, want %v, %v, %v",
				c.name, got.Wet, got.FirstBake, got.Owed, c.wet, c.firstBake, c.owed)
		}
	}
}

func TestNothingIsLeftOfABundle(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose)
	rods.h.Stays[len(rods.h.Stays)-1].To = clock("09:00")
	got := steady().judge(r, rods, "12:00")
	expect(t, got, want{verdict: inventory.Out, most: "2:00", due: "never"})
	if got.Kind != "" {
		t.Errorf("Kind = %q, want none", got.Kind)
	}
	expect(t, steady().judge(r, rods, "09:00"), want{verdict: inventory.Out, most: "2:00", due: "11:00"})

	// what begins in the oven when they have left it does not concern them
	shop := newOvens().read(h1, "06:00", "10:00", "30m", "130 C").read(h1, "10:10", "12:00", "10m", "100 C")
	held := fromOven().out("07:00", loose).back("08:00", h1)
	held.h.Stays[len(held.h.Stays)-1].To = clock("10:00")
	expect(t, shop.judge(r, held, "10:00"), want{verdict: inventory.Hold, most: "1:00", hold: "2:00"})
}

func TestBeforeAnythingIsKnown(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	expect(t, steady().judge(r, fromOven(), "05:00"), want{verdict: inventory.Out, most: "0:00", due: "never"})
}

func TestPlacesWithoutARowAreOpen(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	r.Hold, r.Quiver = nil, nil
	expect(t, steady().judge(r, can().in("06:30", h1), "08:00"), want{verdict: inventory.Out, most: "1:30"})
	expect(t, steady().judge(r, can().in("06:30", q1), "08:00"), want{verdict: inventory.Out, most: "1:30"})
	expect(t, steady().judge(r, can().in("06:30", inbox), "08:00"), want{verdict: inventory.Out, most: "1:30"})
	expect(t, steady().judge(r, can().in("06:30", b1), "08:00"), want{verdict: inventory.Out, most: "1:30"})
	shop := recipe(newOvens(), "2025-05-05")
	short := can().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "350 C").
		in("2025-05-05 09:00", bench)
	expect(t, shop.judge(r, short, "2025-05-05 09:00"), want{verdict: inventory.Bake, most: "3:00"})
}

func TestRodsJoinedInTheBakeOvenGoOnInTheSameRun(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	r := ruling(t, "reference-running", "E7018")
	join := func(second string) *rods {
		a := can().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "350 C")
		b := can().closed("2025-05-05 05:00", bench).bake(second, "350 C")
		return mix("2025-05-05 08:00", "B", a, b).bake("2025-05-05 08:00", "350 C").in("2025-05-05 09:30", h1)
	}
	for second, bakes := range map[string]int64{"2025-05-05 06:05": 1, "2025-05-05 06:20": 0} {
		// loaded at 06:20 they had no half hour at half: the load is for QA
		got := shop.judge(r, join(second), "2025-05-05 10:00")
		if got.Bakes != bakes || (bakes == 0) != (got.Verdict == inventory.QAHold) {
			t.Errorf("the second loaded at %s: %s with %d bakes, want %d", second, got.Verdict, got.Bakes, bakes)
		}
	}
	other := can().closed("2025-05-05 05:00", bench).in("2025-05-05 07:00", bench)
	late := mix("2025-05-05 08:00", "B", can().bake("2025-05-05 06:00", "350 C"), other).
		bake("2025-05-05 08:00", "350 C").in("2025-05-05 09:30", h1)
	expect(t, shop.judge(r, late, "2025-05-05 10:00"), want{verdict: inventory.QAHold})
}

func TestReasonsAreInWords(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	portable := ruling(t, "reference-portable", "E7018")
	cases := []struct {
		got  exposure.Judgement
		want string
	}{
		{steady().judge(r, fromOven().out("07:00", loose), "10:00"), "out 3 h of 4 h"},
		{steady().judge(r, fromOven().out("07:00", loose), "11:10"), "exposed 4 h 10 min, limit 4 h"},
		{steady().judge(r, fromOven().out("07:00", loose).back("08:00", h1), "09:00"), "held 1 h of 4 h"},
		{steady().judge(r, fromOven().out("07:00", loose).back("11:00", h1), "11:00"),
			"exactly at the limit of 4 h: no hold may begin"},
		{steady().judge(portable, fromOven().out("07:00", q1), "15:10"),
			"open and in the quiver 8 h 10 min, limit 8 h"},
		{steady().judge(r, carton().closed("06:00", bench), "07:00"),
			"came without a tight seal: bake before first use"},
		{newOvens().judge(r, can().in("06:30", h1), "07:00"),
			"evidence is missing: ready if it was at temperature " +
				"(at temperature), out if it was not (not at temperature, exposed 30 min of 4 h)"},
	}
	for _, c := range cases {
		if c.got.Why != c.want {
			t.Errorf("why %q, want %q", c.got.Why, c.want)
		}
	}
	baking := recipe(newOvens(), "2025-05-05").judge(r, baked(), "2025-05-05 08:30")
	if !strings.HasPrefix(baking.Why, "in the bake oven: soak 1 h of 2 h") {
		t.Errorf("why %q, want how far the soak is", baking.Why)
	}
}
