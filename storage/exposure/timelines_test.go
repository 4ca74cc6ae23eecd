package exposure_test

import (
	"testing"

	"ovenward/inventory"
	"ovenward/storage/rules"
)

// The timelines S01 to S32 and their outcomes are those of the reference rules
// for replays (limits by class, running clock unless another is named). Times
// are on the shop's clock.

func fromOven() *rods { return can().closed("06:00", bench).in("06:30", h1) }

func TestS01PlainReturnInTime(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("10:45", h1)
	shop := steady()

	expect(t, shop.judge(r, rods, "06:10"), want{verdict: inventory.Sealed, most: "0:00"})
	expect(t, shop.judge(r, rods, "06:59"),
		want{verdict: inventory.Ready, most: "0:00", warn: "never", due: "never"})
	expect(t, shop.judge(r, rods, "07:00"),
		want{verdict: inventory.Out, most: "0:00", warn: "10:12", due: "11:00"})
	expect(t, shop.judge(r, rods, "10:44"),
		want{verdict: inventory.Out, most: "3:44", warn: "10:12", due: "11:00", limit: "4:00"})
	expect(t, shop.judge(r, rods, "10:45"),
		want{verdict: inventory.Hold, most: "3:45", warn: "10:12", due: "never", ready: "14:45"})
	expect(t, shop.judge(r, rods, "14:30"),
		want{verdict: inventory.Hold, most: "3:45", hold: "3:45", ready: "14:45"})
	expect(t, shop.judge(r, rods, "14:45"),
		want{verdict: inventory.Ready, most: "0:00", held: "14:45", warn: "never"})
}

func TestS02PlainOverrun(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("07:00", loose).back("11:10", h1)
	got := steady().judge(r, rods, "11:10")
	expect(t, got, want{verdict: inventory.Bake, most: "4:10", warn: "10:12", due: "11:00"})
	if got.Boundary {
		t.Error("Boundary = true beyond the limit")
	}
	// no hold can begin, so the clock runs on in the hot oven
	expect(t, steady().judge(r, rods, "16:00"), want{verdict: inventory.Bake, most: "9:00"})
}

func TestS03ExactlyAtTheLimit(t *testing.T) {
	t.Parallel()
	rods := fromOven().out("07:00", loose)
	r := ruling(t, "reference-running", "E7018")
	expect(t, steady().judge(r, rods, "11:00"), want{verdict: inventory.Out, most: "4:00"})

	rods.back("11:00", h1)
	got := steady().judge(r, rods, "11:00")
	expect(t, got, want{verdict: inventory.Bake, most: "4:00"})
	if !got.Boundary {
		t.Error("Boundary = false for a return exactly at the limit")
	}
	lenient := ruling(t, "reference-running", "E7018", "return.at_limit", "hold")
	expect(t, steady().judge(lenient, rods, "11:00"), want{verdict: inventory.Hold, ready: "15:00"})
	expect(t, steady().judge(lenient, rods, "15:00"), want{verdict: inventory.Ready, most: "0:00"})
}

func TestS04S06S07S08LimitsByClass(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name, class, out, back string
		recipe                 string
		want                   want
	}{
		{"S04a", "E8018-C3", "13:00", "14:50", "bake-a5.5",
			want{verdict: inventory.Hold, most: "1:50", warn: "14:36", due: "never", ready: "18:50", limit: "2:00"}},
		{"S04b", "E8018-C3", "13:00", "15:10", "bake-a5.5",
			want{verdict: inventory.Bake, most: "2:10", warn: "14:36", due: "15:00", limit: "2:00"}},
		{"S06a", "E11018-M", "08:00", "08:29", "bake-a5.5",
			want{verdict: inventory.Hold, most: "0:29", warn: "08:24", due: "never", ready: "12:29", limit: "0:30"}},
		{"S06b", "E11018-M", "08:00", "08:31", "bake-a5.5",
			want{verdict: inventory.Bake, most: "0:31", warn: "08:24", due: "08:30", limit: "0:30"}},
		{"S07a", "E7018-1 H4R", "06:00", "14:30", "bake-a5.1",
			want{verdict: inventory.Hold, most: "8:30", warn: "13:12", due: "never", ready: "18:30", limit: "9:00"}},
		{"S07b", "E7018-1 H4R", "06:00", "15:10", "bake-a5.1",
			want{verdict: inventory.Bake, most: "9:10", warn: "13:12", due: "15:00", limit: "9:00"}},
		{"S08", "E7018 H4", "06:00", "12:00", "bake-a5.1",
			want{verdict: inventory.Bake, most: "6:00", warn: "09:12", due: "10:00", limit: "4:00"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			r := ruling(t, "reference-running", c.class)
			rods := can().closed("05:00", bench).in("05:30", h1).out(c.out, loose).back(c.back, h1)
			expect(t, steady().judge(r, rods, c.back), c.want)
			if r.Bake.Row != c.recipe {
				t.Errorf("recipe %s, want %s", r.Bake.Row, c.recipe)
			}
		})
	}
}

func TestS09ShortHoldRunning(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("08:00", loose).back("09:00", h1)
	expect(t, steady().judge(r, rods, "12:29"),
		want{verdict: inventory.Hold, most: "1:00", hold: "3:29", ready: "13:00", due: "never"})

	rods.out("12:30", loose).back("13:00", h1) // taken by override
	expect(t, steady().judge(r, rods, "12:30"), want{verdict: inventory.Bake, most: "4:30", due: "12:30"})
	expect(t, steady().judge(r, rods, "13:00"), want{verdict: inventory.Bake, most: "5:00"})
}

func TestS09ShortHoldSummed(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-summed", "E7018")
	rods := fromOven().out("08:00", loose).back("09:00", h1).out("12:30", loose).back("13:00", h1)
	expect(t, steady().judge(r, rods, "12:30"), want{verdict: inventory.Out, most: "1:00", due: "15:30"})
	expect(t, steady().judge(r, rods, "13:00"), want{verdict: inventory.Hold, most: "1:30", ready: "17:00"})
}

func TestS10FullHoldResets(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "06:00", "22:00", "30m", "121 C")
	rods := fromOven().out("08:00", loose).back("11:30", h1).out("15:30", loose).back("18:00", h1)
	expect(t, shop.judge(r, rods, "11:30"), want{verdict: inventory.Hold, most: "3:30", ready: "15:30"})
	expect(t, shop.judge(r, rods, "15:30"), want{verdict: inventory.Out, most: "0:00", due: "19:30"})
	expect(t, shop.judge(r, rods, "18:00"), want{verdict: inventory.Hold, most: "2:30", ready: "22:00"})
}

func TestS13HotPortableAllShift(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-portable", "E7018")
	shop := steady().read(q1, "06:00", "16:00", "15m", "110 C")
	rods := fromOven().out("07:00", q1)
	got := shop.judge(r, rods, "14:50")
	expect(t, got,
		want{verdict: inventory.Out, most: "0:00", due: "15:00", warn: "13:24"}) // 80 % of 8:00 is 6:24
	if got.Portable != span("7:50") {
		t.Errorf("Portable = %s, want 7:50", got.Portable)
	}
	expect(t, shop.judge(r, fromOven().out("07:00", q1).back("14:50", h1), "14:50"),
		want{verdict: inventory.Hold, most: "0:00", ready: "18:50"})
	late := shop.judge(r, fromOven().out("07:00", q1).back("15:10", h1), "15:10")
	expect(t, late, want{verdict: inventory.Bake, most: "0:00", due: "15:00"})
	if late.Portable != span("8:10") {
		t.Errorf("Portable = %s, want 8:10", late.Portable)
	}
}

func TestS15HandfulSplitOff(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := steady()
	slip := fromOven().out("07:00", q1)
	pouch := slip.part("09:00", "pouch").out("09:00", loose)
	others := slip.part("09:00", "others").out("09:00", q1)

	mixed := mix("13:30", "all", pouch, others).back("13:30", h1)
	pouch.back("13:30", h1)
	others.back("13:30", h1)
	expect(t, shop.judge(r, pouch, "13:30"), want{verdict: inventory.Bake, most: "4:30"})
	expect(t, shop.judge(r, others, "13:30"), want{verdict: inventory.Hold, most: "0:00", ready: "17:30"})
	expect(t, shop.judge(r, mixed, "13:30"), want{verdict: inventory.Bake, most: "4:30"})
}

func TestS26WeekendWithoutReadings(t *testing.T) {
	t.Parallel()
	shop := newOvens().read(h1, "2025-06-06 06:00", "2025-06-06 18:00", "30m", "128 C").
		once(h1, "2025-06-09 06:00", "127 C")
	rods := can().closed("2025-06-06 06:00", bench).in("2025-06-06 07:00", h1)
	r := ruling(t, "reference-running", "E7018")
	expect(t, shop.judge(r, rods, "2025-06-09 06:00"),
		want{verdict: inventory.QAHold, most: "60:00", least: "0:00"})

	open := ruling(t, "reference-running", "E7018", "evidence.missing", "open")
	expect(t, shop.judge(open, rods, "2025-06-09 06:00"), want{verdict: inventory.Bake, most: "60:00"})
}

func TestS28CanLeftOnTheBench(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := can().closed("2025-05-09 08:00", bench).in("2025-05-09 14:00", bench)
	got := newOvens().judge(r, rods, "2025-05-12 07:00")
	expect(t, got, want{verdict: inventory.Bake, most: "65:00", due: "2025-05-09 18:00"})
	if got.Bakes != 0 || got.BakesMax != 1 {
		t.Errorf("bakes %d of %d, want 0 of 1", got.Bakes, got.BakesMax)
	}
}

func TestS29WetIsDiscarded(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := fromOven().out("08:00", loose).wet("08:40").back("08:40", h1)
	expect(t, steady().judge(r, rods, "08:40"), want{verdict: inventory.Discard, most: "0:40"})
	expect(t, steady().judge(r, rods, "08:39"), want{verdict: inventory.Out, most: "0:39"})
}

func TestS31AcrossMidnight(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "2025-06-10 18:00", "2025-06-11 06:00", "30m", "130 C")
	rods := can().closed("2025-06-10 18:00", bench).in("2025-06-10 18:30", h1).
		out("2025-06-10 22:15", loose).back("2025-06-11 01:50", h1)
	expect(t, shop.judge(r, rods, "2025-06-11 01:50"),
		want{verdict: inventory.Hold, most: "3:35", ready: "2025-06-11 05:50"})
}

func TestS32ClockGoesBack(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	// 00:30 EDT and 03:45 EST in New York
	shop := newOvens().read(h1, "2025-11-02T02:00:00Z", "2025-11-02T10:00:00Z", "30m", "130 C")
	rods := can().closed("2025-11-02T02:00:00Z", bench).in("2025-11-02T02:30:00Z", h1).
		out("2025-11-02T04:30:00Z", loose).back("2025-11-02T08:45:00Z", h1)
	expect(t, shop.judge(r, rods, "2025-11-02T08:45:00Z"), want{verdict: inventory.Bake, most: "4:15"})
}

// TestReferenceWarnings holds the warning times against the list of the
// reference rules: 80 % of 4:00, 2:00, 1:00, 0:30 and 9:00.
func TestReferenceWarnings(t *testing.T) {
	t.Parallel()
	for class, w := range map[string]string{"E7018": "3:12", "E8018-C3": "1:36", "E9018-B3": "0:48",
		"E10018-D2": "0:24", "E11018-M": "0:24", "E7018-1 H4R": "7:12"} {
		for _, set := range []string{"reference-running", "reference-summed", "reference-portable"} {
			r := ruling(t, set, class)
			if got := r.Warn(); got != span(w) {
				t.Errorf("%s of %s warns at %s, want %s", class, set, got, w)
			}
			if r.Clock.Policy == rules.Summed != (set == "reference-summed") {
				t.Errorf("%s has policy %s", set, r.Clock.Policy)
			}
		}
	}
}
